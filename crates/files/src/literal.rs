//! Numbers and text as literals that read back to the very same value.

use quantity::{Force, Pressure};

/// The most digits a double-precision number needs to be told from its neighbours.
const MOST_DIGITS: usize = 17;

/// The shortest text of a number that reads back as the same number.
pub(crate) fn number(value: f64) -> String {
    let size = value.abs();
    if size == 0.0 || (1e-6..1e15).contains(&size) {
        format!("{value}")
    } else {
        format!("{value:e}")
    }
}

/// Text as a TOML string.
pub(crate) fn quoted(text: &str) -> String {
    toml::Value::from(text).to_string()
}

/// The number of fewest digits which `make` turns into exactly `target`, if any does.
///
/// `near` is the number as the unit's reader gives it, off by a rounding or two.
pub(crate) fn exact<Q: PartialEq>(near: f64, target: &Q, make: impl Fn(f64) -> Q) -> Option<f64> {
    let rounded = (0..MOST_DIGITS).filter_map(|digits| format!("{near:.digits$e}").parse().ok());
    let beside = [near.next_up(), near.next_down()];
    rounded
        .chain(beside)
        .find(|&candidate| make(candidate) == *target)
}

/// A unit's suffix, its reader and its maker.
pub(crate) type Unit<Q> = (&'static str, fn(Q) -> f64, fn(f64) -> Q);

/// The units of force a file may be written in; newtons say every force exactly.
pub(crate) const FORCE_UNITS: [Unit<Force>; 3] = [
    ("kgf", Force::to_kgf, Force::kgf),
    ("n", Force::to_n, Force::n),
    ("lbf", Force::to_lbf, Force::lbf),
];

/// The units of pressure a file may be written in.
pub(crate) const PRESSURE_UNITS: [Unit<Pressure>; 3] = [
    ("bar", Pressure::to_bar, Pressure::bar),
    ("psi", Pressure::to_psi, Pressure::psi),
    (
        "kpa",
        |pressure| pressure.to_pa() / 1000.0,
        |value| Pressure::pa(1000.0 * value),
    ),
];

/// A share in per cent.
pub(crate) const PERCENT: Unit<f64> = ("percent", |share| 100.0 * share, |percent| percent / 100.0);

/// The unit in which all of `quantities` are said exactly with the fewest signs: most likely the one
/// they were given in. The first unit when none says them exactly.
pub(crate) fn plainest<Q: Copy + PartialEq>(units: &[Unit<Q>], quantities: &[Q]) -> Unit<Q> {
    let signs = |(_, read, make): &Unit<Q>| {
        quantities
            .iter()
            .map(|quantity| exact(read(*quantity), quantity, make).map(|value| number(value).len()))
            .sum::<Option<usize>>()
    };
    let sayable = units.iter().filter_map(|unit| Some((signs(unit)?, unit)));
    *sayable
        .min_by_key(|(signs, _)| *signs)
        .map_or(&units[0], |(_, unit)| unit)
}

/// The text of a quantity in a unit: exact where the unit can say it.
pub(crate) fn text<Q: Copy + PartialEq>((_, read, make): &Unit<Q>, quantity: Q) -> String {
    let near = read(quantity);
    number(exact(near, &quantity, make).unwrap_or(near))
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_force_is_written_in_the_unit_it_was_given_in() {
        for (force, unit, said) in [
            (Force::kgf(95.8), "kgf", "95.8"),
            (Force::n(1200.0), "n", "1200"),
            (Force::lbf(211.2), "lbf", "211.2"),
        ] {
            let plainest = plainest(&FORCE_UNITS, &[force]);
            assert_eq!((plainest.0, text(&plainest, force).as_str()), (unit, said));
        }
    }

    proptest! {
        #[test]
        fn a_number_reads_back_as_itself(value in proptest::num::f64::NORMAL | proptest::num::f64::ZERO) {
            prop_assert_eq!(number(value).parse::<f64>().expect("a number"), value);
        }

        #[test]
        fn a_quantity_reads_back_as_itself(value in 0.0..1e6_f64, unit in 0_usize..3) {
            let (force, pressure) = (FORCE_UNITS[unit].2(value), PRESSURE_UNITS[unit].2(value));
            let plain = plainest(&FORCE_UNITS, &[force]);
            prop_assert_eq!(plain.2(text(&plain, force).parse().expect("a number")), force);
            let plain = plainest(&PRESSURE_UNITS, &[pressure]);
            prop_assert_eq!(plain.2(text(&plain, pressure).parse().expect("a number")), pressure);
        }
    }
}
