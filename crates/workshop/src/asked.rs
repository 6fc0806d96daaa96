//! What a person types about tensions: forces with their unit, the tension of a side, a limit with its source.

use quantity::Force;
use wheel::Side;
use wheel::limit::{Condition, Limit, Part};

/// Forces beyond this are a slip of the unit.
const MOST: Force = Force::n(10_000.0);

/// A force with its unit, as in `105kgf` or `1030n`.
///
/// # Errors
/// What is wrong with it, and for `kg` the question which is meant.
pub fn force(text: &str) -> Result<Force, String> {
    let text = text.trim();
    let split = text
        .find(|c: char| c.is_ascii_alphabetic())
        .unwrap_or(text.len());
    let (number, unit) = text.split_at(split);
    let make: fn(f64) -> Force = match unit.to_ascii_lowercase().as_str() {
        "kgf" => Force::kgf,
        "n" => Force::n,
        "lbf" => Force::lbf,
        "kg" => return Err("is kg meant as kilograms-force (kgf)? Write 105kgf".into()),
        _ => return Err("wanted is a force with its unit, as in 105kgf or 1030n".into()),
    };
    let number: Option<f64> = number.trim().parse().ok();
    let force = number
        .map(make)
        .filter(|force| Force::ZERO < *force && *force <= MOST);
    force.ok_or_else(|| format!("wanted is a force above 0 and up to {:.0} N", MOST.to_n()))
}

/// The tension of a side, as in `right:105kgf`.
///
/// # Errors
/// What is wrong with it.
pub fn side(text: &str) -> Result<(Side, Force), String> {
    let form = "wanted is a side and a tension, as in right:105kgf";
    let (side, tension) = text.split_once(':').ok_or(form)?;
    let side = Side::of_word(side.trim()).ok_or(form)?;
    Ok((side, force(tension)?))
}

/// A limit of tension, as in `rim,1250n,bare,sticker on the rim`; it says whose it is, or it is none.
///
/// # Errors
/// What is wrong with it.
pub fn limit(text: &str) -> Result<Limit, String> {
    let form = "wanted is part, tension, bare or tyred, and where it stands, as in rim,1250n,bare,sticker on the rim";
    let mut fields = text.splitn(4, ',').map(str::trim);
    let mut field = || fields.next().filter(|field| !field.is_empty()).ok_or(form);
    let parts = [
        ("rim", Part::Rim),
        ("spoke", Part::Spoke),
        ("thread", Part::Thread),
        ("nipple", Part::Nipple),
        ("hub", Part::Hub),
    ];
    let part = field()?;
    let (_, part) = parts
        .into_iter()
        .find(|(word, _)| *word == part)
        .ok_or(form)?;
    let tension = force(field()?)?;
    let condition = match field()? {
        "bare" => Condition::Bare,
        "tyred" => Condition::Tyred,
        _ => return Err(form.into()),
    };
    Ok(Limit {
        part,
        tension,
        condition,
        source: field()?.to_owned(),
        noted: String::new(),
        side: None,
        kind: None,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn forces_carry_their_unit_and_kg_is_asked_about() {
        assert_eq!(force("105kgf"), Ok(Force::kgf(105.0)));
        assert_eq!(force(" 1030 N "), Ok(Force::n(1030.0)));
        assert!(
            force("105kg")
                .expect_err("a question")
                .contains("kilograms-force")
        );
        for wrong in ["105", "kgf", "-5n", "1e9n", "nan n"] {
            assert!(force(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn a_tension_names_its_side_and_a_limit_its_source() {
        assert_eq!(side("left:60kgf"), Ok((Side::Left, Force::kgf(60.0))));
        assert!(side("both:60kgf").is_err());
        let limit = limit("rim,1250n,bare,sticker, inside the rim").expect("a limit");
        assert_eq!(limit.source, "sticker, inside the rim");
        assert_eq!((limit.part, limit.condition), (Part::Rim, Condition::Bare));
        for wrong in [
            "rim,1250n,bare",
            "rim,1250n,wet,a sticker",
            "tyre,1250n,bare,a sticker",
            "rim,1250kg,bare,x",
        ] {
            assert!(super::limit(wrong).is_err(), "{wrong}");
        }
    }
}
