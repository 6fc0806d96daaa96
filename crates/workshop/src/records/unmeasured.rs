//! A wheel of which nobody has measured more than how many spokes it has: readings need no more.

use super::{Error, Label, Pen, Shop, WheelAsked, Written};

/// Most spokes of a side.
const MOST: usize = 60;

impl Shop {
    /// Takes a wheel in by its spokes alone: so many on the right, so many on the left. Its geometry is a
    /// stand-in under so wide a doubt that nothing rests on it, and its file says so.
    ///
    /// # Errors
    /// [`Error::NotThat`] for counts that no wheel has.
    pub async fn take_in_unmeasured(
        &self,
        pen: &Pen,
        spokes: (usize, usize),
        asked: WheelAsked,
    ) -> Result<(Label, Written), Error> {
        let (right, left) = spokes;
        let may_be = |count: usize| (1..=MOST).contains(&count);
        if !(may_be(right) && may_be(left) && right + left >= 3) {
            return Err(Error::NotThat {
                given: format!("{right} and {left}"),
                what: "number of spokes on the right and on the left",
                mend: format!("Each side has 1 to {MOST}, both together at least 3."),
            });
        }
        let name = asked.name.clone().filter(|name| !name.trim().is_empty());
        let name = name.unwrap_or_else(|| format!("Wheel with {right} and {left} spokes"));
        let file = file(&name, right, left);
        let asked = WheelAsked {
            file,
            name: Some(name),
            ..asked
        };
        self.take_in_wheel(pen, asked).await
    }
}

/// The wheel file of such a wheel.
fn file(name: &str, right: usize, left: usize) -> String {
    let seats = right + left;
    let sides: Vec<&str> = (0..seats)
        .map(|seat| {
            // Left spokes spread among the right ones as evenly as whole seats allow.
            let before = |seat: usize| seat * left / seats;
            if before(seat + 1) > before(seat) {
                "\"left\""
            } else {
                "\"right\""
            }
        })
        .collect();
    let name: String = name
        .chars()
        .filter(|letter| !letter.is_control() && !"\"\\".contains(*letter))
        .collect();
    format!(
        "# Nobody has measured this wheel yet: every length below only stands in for one, and the doubts say so.\n\
         # Put the real numbers in when there is time; until then no force rests on them.\n\
         format = 1\n\
         name = \"{name}\"\n\n\
         [rim]\n\
         seats = {seats}\n\
         seat_diameter_mm = 600.0\n\
         sides = [{sides}]\n\n\
         [[kind]]\n\
         name = \"not said\"\n\n\
         [right]\n\
         flange_offset_mm = 25.0\n\
         hole_circle_mm = 50.0\n\
         flange_mm = 3.0\n\
         elbow_mm = 2.0\n\
         crosses = 0\n\
         heads = \"in\"\n\n\
         [left]\n\
         flange_offset_mm = 25.0\n\
         hole_circle_mm = 50.0\n\
         flange_mm = 3.0\n\
         elbow_mm = 2.0\n\
         crosses = 0\n\
         heads = \"in\"\n\n\
         [measured]\n\
         flange_offset_u_mm = 10.0\n\
         dish_mm = 0.0\n\
         dish_u_mm = 10.0\n",
        sides = sides.join(", "),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use wheel::Side;

    #[test]
    fn wheel_by_its_spokes_alone_is_a_wheel() {
        for (right, left) in [
            (12, 12),
            (16, 8),
            (14, 7),
            (10, 10),
            (9, 18),
            (1, 2),
            (17, 11),
        ] {
            let text = file("a \"quay\" wheel", right, left);
            let source = files::Source::from_bytes("the wheel", text.as_bytes()).expect("text");
            let (wheel, _) = files::wheel_file::read(&source).expect("a wheel");
            let on = |side| {
                wheel
                    .spokes
                    .iter()
                    .filter(|spoke| spoke.side == side)
                    .count()
            };
            assert_eq!((on(Side::Right), on(Side::Left)), (right, left));
        }
    }
}
