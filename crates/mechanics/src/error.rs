//! Why a wheel gets no answer, and what the builder must know about an answer that stands.

use wheel::SpokeIndex;

/// No answer exists.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum Error {
    /// A constant of the rim is missing.
    #[error("the rim's {what} is not known: give it in the wheel file")]
    RimUnknown {
        /// Which constant.
        what: &'static str,
    },
    /// A spoke's EA is missing.
    #[error("the axial stiffness of spoke {} is not known: give it with its kind", spoke.number())]
    SpokeUnknown {
        /// The first spoke without it.
        spoke: SpokeIndex,
    },
    /// A length or stiffness is no positive number.
    #[error("{what} must be a positive number, and is {value}")]
    NotPositive {
        /// Which one.
        what: String,
        /// The value given, in SI.
        value: f64,
    },
    /// A constant of the rim that may be nothing is less, or no number.
    #[error("the rim's {what} must not be negative, and is {value}")]
    Negative {
        /// Which one.
        what: &'static str,
        /// The value given, in SI.
        value: f64,
    },
    /// The shear centre lies nowhere near the rim's centroid.
    #[error(
        "the rim's shear centre lies {distance_mm:.1} mm outward of its centroid: that distance or the centroid radius is wrong"
    )]
    ShearCentreOffRim {
        /// Distance outward of the centroid.
        distance_mm: f64,
    },
    /// A spoke is given with a compression.
    #[error("spoke {} cannot push: its tension is {tension_n} N", spoke.number())]
    Pushing {
        /// The first such spoke.
        spoke: SpokeIndex,
        /// Its tension.
        tension_n: f64,
    },
    /// A nipple seat lies nowhere near the rim's centroid.
    #[error("the seat of spoke {} lies {distance_mm:.1} mm from the rim's centroid circle: the seat or the centroid radius is wrong", spoke.number())]
    SeatOffRim {
        /// The first such spoke.
        spoke: SpokeIndex,
        /// Distance from the centroid circle.
        distance_mm: f64,
    },
    /// Fewer spokes than can hold a rim.
    #[error("{spokes} spokes cannot hold a rim: it takes six at least")]
    TooFewSpokes {
        /// How many there are.
        spokes: usize,
    },
    /// The spokes leave the rim free to move as a whole.
    #[error("the spokes leave the rim free to move {motion}: this is a mechanism, not a wheel")]
    Mechanism {
        /// The freest motion in words.
        motion: &'static str,
    },
    /// No tension is given, and the question needs some.
    #[error("the question needs spoke tensions and the wheel gives none for spoke {}", spoke.number())]
    NoTension {
        /// The first spoke without tension.
        spoke: SpokeIndex,
    },
    /// The tensions given pull the hub somewhere.
    #[error(
        "the tensions do not balance: they leave {:.0}, {:.0}, {:.0} N and {:.1}, {:.1}, {:.1} N m (x, y, z) on the hub, {:.1} % of the slacker side's sum where 1 % is allowed",
        force_n[0], force_n[1], force_n[2], moment_n_m[0], moment_n_m[1], moment_n_m[2], share * 100.0
    )]
    Unbalanced {
        /// Force left on the hub.
        force_n: [f64; 3],
        /// Moment left about the hub's centre.
        moment_n_m: [f64; 3],
        /// The larger of both as a share of the slacker side's sum of tensions.
        share: f64,
    },
    /// No set of pulling spokes balances on this geometry.
    #[error("no tensions balance on this geometry: {why}")]
    NoSelfStress {
        /// What stands in the way.
        why: &'static str,
    },
    /// The state asked about is beyond buckling: it cannot stand.
    #[error(
        "the wheel cannot stand in this state: the tension given is above the tension at which it buckles"
    )]
    AboveBuckling,
    /// An arc of rim between two spokes would collapse by itself.
    #[error(
        "the rim would collapse between two spokes (an arc of {arc_deg:.1}°): its stiffness is too small for the tension"
    )]
    RimOverloaded {
        /// The arc.
        arc_deg: f64,
    },
    /// The loaded wheel finds no equilibrium.
    #[error("no equilibrium was found beyond {:.0} % of the load: the wheel folds under it", share * 100.0)]
    Folds {
        /// The largest share of the load that was carried.
        share: f64,
    },
}

/// What the builder must know about an answer that stands.
#[derive(Debug, Clone, PartialEq)]
pub enum Finding {
    /// The tensions do not quite balance and were used as given.
    Imbalance {
        /// Force left on the hub.
        force_n: [f64; 3],
        /// Moment left about the hub's centre.
        moment_n_m: [f64; 3],
        /// The larger as a share of the slacker side's sum of tensions.
        share: f64,
    },
    /// Nothing holds the rim against turning about the axle: tangential and torsional stiffness are zero.
    TurnsFreely,
    /// The rim's resistance to warping fades within so little of the rim that it was left out.
    WarpingFades,
    /// The wheel gives no tension, so whatever needs tension stays unanswered.
    NoTension,
    /// The tension given is above buckling, so nothing is said about the tensioned state.
    AboveBuckling,
    /// No tension up to this multiple of the present one buckles the wheel.
    NoBucklingBelow {
        /// The largest multiplier tried.
        multiplier: f64,
    },
    /// No radial load up to this one slackens a spoke.
    NoSlackBelow {
        /// The largest load tried.
        load_n: f64,
    },
    /// The wheel folds under a radial load while every spoke still pulls.
    FoldsTaut {
        /// The largest load that was carried.
        load_n: f64,
    },
    /// The wheel folds as soon as its first spoke is slack.
    FoldsOnceSlack {
        /// The load at which it is.
        load_n: f64,
    },
    /// Spokes that are slack under the load asked about.
    Slack {
        /// Which ones.
        spokes: Vec<SpokeIndex>,
    },
    /// The spokes with a stated tension cannot balance exactly as stated; their mean was kept.
    TargetSpread {
        /// Largest departure from what was stated.
        largest_n: f64,
    },
}

impl std::fmt::Display for Finding {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Imbalance {
                force_n: [x, y, z],
                moment_n_m: [mx, my, mz],
                share,
            } => write!(
                out,
                "the tensions leave {x:.0}, {y:.0}, {z:.0} N and {mx:.1}, {my:.1}, {mz:.1} N m on the hub \
                 ({:.2} % of the slacker side's sum); they are used as given",
                share * 100.0
            ),
            Self::TurnsFreely => write!(
                out,
                "nothing holds the rim against turning about the axle: all spokes are radial and, as asked, without tension"
            ),
            Self::WarpingFades => write!(
                out,
                "the rim's warping is so small beside its torsion that it fades within a hundredth of the radius: \
                 it is left out, which moves no answer by more than 0.1 %"
            ),
            Self::NoTension => {
                write!(
                    out,
                    "the wheel gives no spoke tension: ride, slack and buckling stay unanswered"
                )
            }
            Self::AboveBuckling => write!(
                out,
                "the tension given is above the tension at which the wheel buckles: it cannot stand like this"
            ),
            Self::NoBucklingBelow { multiplier } => {
                write!(
                    out,
                    "no tension up to {multiplier} times the present one buckles the wheel"
                )
            }
            Self::NoSlackBelow { load_n } => {
                write!(out, "no radial load up to {load_n:.0} N slackens a spoke")
            }
            Self::FoldsTaut { load_n } => {
                write!(
                    out,
                    "the wheel folds before a spoke is slack: no equilibrium was found beyond {load_n:.0} N"
                )
            }
            Self::FoldsOnceSlack { load_n } => {
                write!(
                    out,
                    "the wheel folds as soon as that spoke is slack: without it the shape under {load_n:.0} N is not stable"
                )
            }
            Self::Slack { spokes } => {
                write!(out, "slack under this load: spoke")?;
                for (place, spoke) in spokes.iter().enumerate() {
                    write!(
                        out,
                        "{} {}",
                        if place == 0 { "" } else { "," },
                        spoke.number()
                    )?;
                }
                Ok(())
            }
            Self::TargetSpread { largest_n } => write!(
                out,
                "the stated tensions cannot balance exactly; their mean is kept and single spokes differ by up to {largest_n:.0} N"
            ),
        }
    }
}
