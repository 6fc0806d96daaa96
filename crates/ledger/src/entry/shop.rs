//! The shop itself: who works there, the wheels that come, their parts, limits and claims.

use super::record;
use super::visit::{Face, State};
use crate::cell::words;
use crate::id::Id;
use crate::label::Label;

record! {
    /// Somebody who works here.
    Mechanic {
        /// Full name.
        name: String,
        /// What is written on a row.
        initials: String,
        /// Anything else.
        note: Option<String>,
    }
}

record! {
    /// One physical wheel.
    Wheel {
        /// What is written on it; a wheel keeps its label for good.
        label: Label,
        /// What it is called.
        name: String,
        /// Whose it is.
        owner: Option<String>,
        /// How the owner is reached.
        contact: Option<String>,
        /// The text of its wheel file, as it was handed in.
        file: String,
        /// Anything else.
        note: Option<String>,
    }
}

record! {
    /// A part of a wheel, as far as it is known.
    Part {
        /// The wheel.
        wheel: Id,
        /// Rim, hub, spoke, nipple, tyre …
        what: String,
        /// Its maker.
        maker: Option<String>,
        /// Its model.
        model: Option<String>,
        /// Its lot, as it is printed.
        lot: Option<String>,
        /// Its serial, as it is printed.
        serial: Option<String>,
        /// Anything else.
        note: Option<String>,
    }
}

record! {
    /// A limit as a maker states it.
    Limit {
        /// The wheel, the part or the visit it was noted for.
        about: Id,
        /// The part it protects.
        part: String,
        /// What is limited.
        quantity: String,
        /// The number, in `unit`.
        value: f64,
        /// The unit it was stated in.
        unit: String,
        /// The condition it was given for, when that is one.
        state: Option<State>,
        /// The side it is for, when it is for one.
        side: Option<Face>,
        /// The spoke kind it is for, when it is for one.
        spoke_kind: Option<String>,
        /// Where it stands.
        source: String,
        /// When it was noted, `YYYY-MM-DD`.
        noted: String,
    }
}

record! {
    /// A statement to be judged.
    Claim {
        /// The wheel or the visit.
        about: Id,
        /// In the words of who claims it.
        text: String,
        /// What is claimed.
        quantity: String,
        /// The most it may be, in the unit of the quantity's name.
        at_most: Option<f64>,
        /// The least it may be, in the unit of the quantity's name.
        at_least: Option<f64>,
        /// A side, or the whole, when it names one.
        of_what: Option<String>,
        /// What is on the wheel, when it is about a mass.
        dress: Option<Vec<String>>,
        /// Where it stands.
        source: Option<String>,
    }
}

record! {
    /// A setting of the shop; the next one takes its place.
    Setting {
        /// Its name.
        key: String,
        /// Its value.
        value: String,
    }
}

words! {
    /// Whether something can be seen.
    Standing {
        /// Out of view, with all that is about it.
        Withdrawn = "withdrawn",
        /// Back in view.
        Restored = "restored",
    }
}

record! {
    /// That something is out of view, or is back. Nothing is ever deleted.
    Withdrawal {
        /// What.
        of: Id,
        /// Whether it can be seen.
        standing: Standing,
    }
}
