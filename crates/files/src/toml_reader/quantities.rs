//! Keys whose value is a quantity: the unit is the key's last word.

use super::number::Range;
use super::{Read, Table, Value};
use quantity::{Angle, Force, Length, Mass, Pressure, Rigidity};

/// A unit's word in a key, and the quantity a number of it makes.
type Unit<'u, T> = (&'u str, fn(f64) -> T);

impl<'d> Table<'d> {
    /// The length under a key that ends in `_mm`.
    pub fn length_mm(&self, key: &str, range: Range) -> Read<Length> {
        self.number(key, range).map(Length::mm)
    }

    /// The length under a key that ends in `_mm`, if there is one.
    pub fn optional_length_mm(&self, key: &str, range: Range) -> Read<Option<Length>> {
        Ok(self.optional_number(key, range)?.map(Length::mm))
    }

    /// The angle under a key that ends in `_deg`, if there is one.
    pub fn optional_angle_deg(&self, key: &str, range: Range) -> Read<Option<Angle>> {
        Ok(self.optional_number(key, range)?.map(Angle::deg))
    }

    /// The rigidity under a key that ends in `_n_mm2`, if there is one.
    pub fn optional_rigidity_n_mm2(&self, key: &str, range: Range) -> Read<Option<Rigidity>> {
        Ok(self.optional_number(key, range)?.map(Rigidity::n_mm2))
    }

    /// The mass under a key that ends in `_g`, if there is one.
    pub fn optional_mass_g(&self, key: &str, range: Range) -> Read<Option<Mass>> {
        Ok(self.optional_number(key, range)?.map(Mass::g))
    }

    /// The force under a key that ends in `_n`, as stiffnesses do; `range` in newtons.
    pub fn optional_force_n(&self, key: &str, range: Range) -> Read<Option<Force>> {
        Ok(self.optional_number(key, range)?.map(Force::n))
    }

    /// The force under `stem_n`, `stem_kgf` or `stem_lbf`, if there is one, with its value for
    /// further troubles; `range` holds for the number as written.
    pub fn optional_force(&self, stem: &str, range: Range) -> Read<Option<(Force, Value<'d>)>> {
        self.in_some_unit(
            stem,
            range,
            &[("n", Force::n), ("kgf", Force::kgf), ("lbf", Force::lbf)],
        )
    }

    /// The force under `stem_n`, `stem_kgf` or `stem_lbf`.
    pub fn force(&self, stem: &str, range: Range) -> Read<(Force, Value<'d>)> {
        self.optional_force(stem, range)?.ok_or_else(|| {
            self.miss(
                ["n", "kgf", "lbf"]
                    .map(|unit| format!("{stem}_{unit}"))
                    .to_vec(),
            )
        })
    }

    /// The pressure under `stem_bar`, `stem_psi` or `stem_kpa`, if there is one.
    pub fn optional_pressure(
        &self,
        stem: &str,
        range: Range,
    ) -> Read<Option<(Pressure, Value<'d>)>> {
        let kilopascals = |value| Pressure::pa(1000.0 * value);
        self.in_some_unit(
            stem,
            range,
            &[
                ("bar", Pressure::bar),
                ("psi", Pressure::psi),
                ("kpa", kilopascals),
            ],
        )
    }

    /// One quantity that may be given in one of several units.
    fn in_some_unit<T>(
        &self,
        stem: &str,
        range: Range,
        units: &[Unit<'_, T>],
    ) -> Read<Option<(T, Value<'d>)>> {
        let mut found = None;
        for (unit, quantity) in units {
            let Some(value) = self.optional(&format!("{stem}_{unit}")) else {
                continue;
            };
            if found.is_some() {
                return Err(value.trouble(
                    format!("`{stem}` is given in two units"),
                    "Keep one of the two.",
                ));
            }
            found = Some((*quantity, value));
        }
        found
            .map(|(quantity, value)| Ok((quantity(value.number(range)?), value)))
            .transpose()
    }
}
