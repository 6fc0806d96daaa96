//! A block per side that says how it is laced.

use super::explicit::{HEADS, MOST_TENSION, ROLES, SIDES, kind, only_kind};
use super::mend::Form;
use super::round::{Round, least_common_multiple};
use crate::toml_reader::{Range, Read, Table, positive};
use quantity::{Angle, Force, Length};
use wheel::lacing::{Hole, Lay, SideLacing};
use wheel::{
    Drilling, Flange, Head, KindIndex, Lacing, Role, Seat, Section, Side, Spoke, SpokeKind,
};

/// What to do about a key that the lacing needs.
const SIDES_MISSING: &str = "List the side of each seat from the first after the valve hole until the \
    pattern begins anew: `sides = [\"right\", \"left\"]`.";
const CROSSES_MISSING: &str = "Add how many spokes of its own side each spoke crosses: `crosses = 3`, 0 \
    for radial.";
const ROLES_MISSING: &str = "Say which spoke comes first after the valve hole: `roles = [\"trailing\", \
    \"leading\"]` or the other way round. A trailing spoke points backward from the hub.";
const HEADS_MISSING: &str = "Say how the heads sit: `heads = \"in\"` on the inner face of the flange, \
    \"out\" on the outer one, \"straight\" for straight-pull, or a list that goes round with the spokes.";
const FLANGE_MISSING: &str = "Add the flange's thickness at the holes: a head in or out shifts the line \
    of pull by half of it.";
const ELBOW_MISSING: &str = "Add the diameter of the spokes where they leave the flange: a head in or out \
    shifts the line of pull by half of it, and the kind gives no `wire_mm`.";

/// The most seats that a rim is believed to have.
const MOST_SEATS: usize = 144;

/// Bounds beyond which a number is taken for a slip.
const MOST_DIAMETER_MM: f64 = 1600.0;
const MOST_OFFSET_MM: f64 = 150.0;
const MOST_SEAT_OFFSET_MM: f64 = 100.0;
const MOST_THICKNESS_MM: f64 = 20.0;
const MOST_ELBOW_MM: f64 = 6.0;
const MOST_CROSSES: f64 = 12.0;

/// The spokes of a rim laced to the flanges of both sides, and those flanges. Asks for all that this form has
/// in the three tables and closes them. The seats stand at the mean of `diameters` where those were measured.
pub(super) fn spokes(
    rim: &Table<'_>,
    sides: [&Table<'_>; 2],
    kinds: &[SpokeKind],
    diameters: &[Length],
) -> Read<(Vec<Spoke>, [Flange; 2])> {
    let drilling = drilling(rim, diameters);
    rim.close();
    let on = |side: Side| {
        drilling
            .as_ref()
            .ok()
            .map(|drilling| seats_on(drilling, side))
    };
    let [right_table, left_table] = sides;
    let right = SideBlock::read(right_table, on(Side::Right), kinds);
    let left = SideBlock::read(left_table, on(Side::Left), kinds);
    let (mut drilling, right, left) = (drilling?, right?, left?);
    for (table, block) in [(right_table, &right), (left_table, &left)] {
        let of_rim = drilling.right_offset != Length::ZERO;
        if of_rim && block.seat_offset.is_some() {
            return Err(table.trouble_at(
                "seat_offset_mm",
                "the seats' offset is given for the whole rim and for this side",
                "Keep it in [rim] if all seats have it, or give each side its own.",
            ));
        }
    }
    drilling.right_offset = right.seat_offset.unwrap_or(drilling.right_offset);
    drilling.left_offset = left.seat_offset.unwrap_or(drilling.left_offset);

    let tell = |error: &wheel::Error| {
        Form::Laced {
            rim,
            right: right_table,
            left: left_table,
        }
        .tell(rim, &[], error)
    };
    let tensions = [right.tension, left.tension];
    let flanges = [right.lacing.flange, left.lacing.flange];
    let seats: Vec<Seat> = drilling.seats().map_err(|error| tell(&error))?;
    let lacing = Lacing {
        seats,
        right: right.lacing,
        left: left.lacing,
    };
    let mut spokes = lacing.spokes().map_err(|error| tell(&error))?;
    for spoke in &mut spokes {
        spoke.tension = if spoke.side == Side::Right {
            tensions[0]
        } else {
            tensions[1]
        };
    }
    Ok((spokes, flanges))
}

fn seats_on(drilling: &Drilling, side: Side) -> usize {
    let on_side = drilling.sides.iter().filter(|&&of| of == side).count();
    drilling.count / drilling.sides.len() * on_side
}

/// The diameter across the seats: as stated, or the mean of those measured.
fn seat_diameter(rim: &Table<'_>, measured: &[Length]) -> Read<Length> {
    let stated = rim.optional_length_mm("seat_diameter_mm", positive(MOST_DIAMETER_MM))?;
    match (stated, measured.len()) {
        (Some(diameter), 0) => Ok(diameter),
        (None, 0) => Err(rim.miss(vec!["seat_diameter_mm".into()])),
        (None, count) => Ok(measured.iter().copied().sum::<Length>() / count as f64),
        (Some(_), _) => Err(rim.trouble_at(
            "seat_diameter_mm",
            "the seat diameter is given here and as measured",
            "Keep `seat_diameters_mm` in [measured], whose mean is taken, or this one.",
        )),
    }
}

fn drilling(rim: &Table<'_>, diameters: &[Length]) -> Read<Drilling> {
    let count = rim
        .required("seats")
        .and_then(|value| value.count(3, MOST_SEATS));
    let diameter = seat_diameter(rim, diameters);
    let seats = count.ok();
    let around = Round {
        table: rim,
        what: "seats",
        count: seats,
    };
    let sides = around
        .list("sides", |value| value.choice(&SIDES))
        .and_then(|sides| sides.ok_or_else(|| rim.missing("sides", SIDES_MISSING)));
    let gaps = around.list("gaps", |value| value.number(positive(f64::MAX)));
    let first = rim.optional_angle_deg("first_seat_deg", Range::within(0.0, 360.0));
    let offset = rim.optional_length_mm("seat_offset_mm", within(MOST_SEAT_OFFSET_MM));
    let offset = offset?.unwrap_or(Length::ZERO);
    Ok(Drilling {
        count: count?,
        seat_radius: diameter? / 2.0,
        sides: sides?,
        gaps: gaps?.unwrap_or_else(|| vec![1.0]),
        first: first?,
        right_offset: offset,
        left_offset: offset,
    })
}

fn within(most: f64) -> Range {
    Range::within(-most, most)
}

/// One side's block.
struct SideBlock {
    lacing: SideLacing,
    seat_offset: Option<Length>,
    tension: Option<Force>,
}

impl SideBlock {
    fn read(table: &Table<'_>, spokes: Option<usize>, kinds: &[SpokeKind]) -> Read<Self> {
        let offset = table.length_mm("flange_offset_mm", within(MOST_OFFSET_MM));
        let hole_circle = table.length_mm("hole_circle_mm", positive(MOST_DIAMETER_MM));
        let around = Round {
            table,
            what: "spokes",
            count: spokes,
        };
        let holes = holes(&around);
        let heads = around
            .list("heads", |value| value.choice(&HEADS))
            .and_then(|heads| heads.ok_or_else(|| table.missing("heads", HEADS_MISSING)));
        let has_heads = heads.iter().flatten().any(|head| *head != Head::Straight);
        let of_kinds = match around.list("kind", |value| kind(value, kinds)) {
            Ok(None) => only_kind(table, kinds).map(|kind| vec![kind]),
            found => found.map(Option::unwrap_or_default),
        };
        let thickness = match table.optional_length_mm("flange_mm", positive(MOST_THICKNESS_MM)) {
            Ok(None) if has_heads => Err(table.missing("flange_mm", FLANGE_MISSING)),
            found => found.map(|thickness| thickness.unwrap_or(Length::ZERO)),
        };
        let stated_elbow = table.optional_length_mm("elbow_mm", positive(MOST_ELBOW_MM));
        let elbow = |kind: &KindIndex| match (
            stated_elbow?,
            kinds.get(kind.0).and_then(|kind| kind.section),
        ) {
            (Some(elbow), _) | (None, Some(Section::Wire(elbow))) => Ok(elbow),
            _ if has_heads => Err(table.missing("elbow_mm", ELBOW_MISSING)),
            _ => Ok(Length::ZERO),
        };
        let elbows = of_kinds
            .as_ref()
            .map_err(|told| *told)
            .and_then(|of_kinds| of_kinds.iter().map(elbow).collect::<Read<Vec<_>>>());
        let seat_offset = table.optional_length_mm("seat_offset_mm", within(MOST_SEAT_OFFSET_MM));
        let tension = table.optional_force("tension", Range::within(0.0, MOST_TENSION));
        table.close();

        let (holes, heads, of_kinds, elbows) = (holes?, heads?, of_kinds?, elbows?);
        let lengths = [holes.len(), heads.len(), of_kinds.len()];
        let period = lengths.into_iter().fold(1, least_common_multiple);
        let lay = |place: usize| Lay {
            hole: holes[place % holes.len()],
            head: heads[place % heads.len()],
            elbow: elbows[place % elbows.len()],
            kind: of_kinds[place % of_kinds.len()],
        };
        let flange = Flange {
            hole_circle_radius: hole_circle? / 2.0,
            offset: offset?,
            thickness: thickness?,
        };
        let lacing = SideLacing {
            flange,
            lays: (0..period).map(lay).collect(),
        };
        let tension = tension?.map(|(tension, _)| tension);
        Ok(Self {
            lacing,
            seat_offset: seat_offset?,
            tension,
        })
    }
}

/// The hole of each spoke: by crosses and roles, or by its angle.
fn holes(around: &Round<'_, '_>) -> Read<Vec<Hole>> {
    let table = around.table;
    let crosses = around.list("crosses", |value| {
        value.number(Range::within(0.0, MOST_CROSSES))
    });
    let roles = around.list("roles", |value| value.choice(&ROLES));
    let angles = table.optional("holes_deg").map(|value| {
        let angles = value.numbers(within(360.0))?;
        around.fits(&value, angles.len()).map(|()| angles)
    });
    let (crosses, roles, angles) = (crosses?, roles?, angles.transpose()?);
    match (crosses, roles, angles) {
        (None, None, Some(angles)) => Ok(turned(&angles, around.count.unwrap_or(angles.len()))),
        (_, _, Some(_)) => Err(table.trouble_at(
            "holes_deg",
            "the holes are given by their angles and by crosses",
            "Keep `holes_deg`, or `crosses` with `roles`.",
        )),
        (Some(crosses), None, None) if crosses.iter().all(|crosses| *crosses == 0.0) => {
            Ok(vec![Hole::Crosses {
                role: Role::Radial,
                crosses: 0.0,
            }])
        }
        (Some(crosses), Some(roles), None) => {
            let period = least_common_multiple(crosses.len(), roles.len());
            let hole = |place: usize| {
                let (crosses, role) = (crosses[place % crosses.len()], roles[place % roles.len()]);
                Hole::Crosses { role, crosses }
            };
            Ok((0..period).map(hole).collect())
        }
        (Some(_), None, None) => Err(table.missing("roles", ROLES_MISSING)),
        (None, _, None) => Err(table.missing("crosses", CROSSES_MISSING)),
    }
}

/// The holes at these angles and, where the list begins anew, turned on by its share of the wheel.
fn turned(angles_deg: &[f64], spokes: usize) -> Vec<Hole> {
    let repeats = (spokes / angles_deg.len()).max(1);
    let round = |repeat: usize| {
        let turn_deg = 360.0 * repeat as f64 / repeats as f64;
        angles_deg
            .iter()
            .map(move |angle_deg| Hole::At(Angle::deg(angle_deg + turn_deg)))
    };
    (0..repeats).flat_map(round).collect()
}
