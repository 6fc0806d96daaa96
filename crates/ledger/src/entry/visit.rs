//! A visit: laps and their readings, weighings, looks and photos.

use super::record;
use crate::cell::{Hash, words};
use crate::id::{Id, Moment};

words! {
    /// Whether a bearing had play.
    Bearing {
        /// None.
        Tight = "none",
        /// Some: no runout is to be believed.
        Play = "some",
    }
}

record! {
    /// All that was taken of one wheel at one time.
    Visit {
        /// The wheel.
        wheel: Id,
        /// When.
        taken: Moment,
        /// The zone that was read in.
        taken_zone: String,
        /// What was asked of the shop.
        asked: Option<String>,
        /// Whether the bearings had play, when that was looked at.
        bearing: Option<Bearing>,
        /// What was not looked at.
        not_checked: Vec<String>,
        /// Anything else.
        note: Option<String>,
    }
}

words! {
    /// What a lap takes.
    Takes {
        /// The gauge, in divisions.
        Reading = "reading",
        /// Runout sideways, in millimetres, positive to the right.
        Lateral = "lateral",
        /// Runout in and out, in millimetres, positive outward.
        Radial = "radial",
        /// Pitch of plucked spokes, in hertz.
        Pitch = "pitch",
    }
}

words! {
    /// Without or with a tyre.
    State {
        /// No tyre.
        Bare = "bare",
        /// With a tyre, at a pressure.
        Tyred = "tyred",
    }
}

words! {
    /// A side of the wheel.
    Face {
        /// Right, the drive side.
        Right = "right",
        /// Left.
        Left = "left",
    }
}

words! {
    /// The way a lap is counted.
    Counted {
        /// Rising spoke numbers.
        Up = "up",
        /// Falling spoke numbers.
        Down = "down",
    }
}

record! {
    /// Once round the wheel, taking one quantity; its readings are entries of their own.
    Lap {
        /// The visit.
        visit: Id,
        /// What it takes.
        takes: Takes,
        /// Without or with a tyre.
        state: State,
        /// The gauge, when it takes readings.
        gauge: Option<Id>,
        /// The calibration that was meant, when one was chosen.
        calibration: Option<Id>,
        /// The rim face the dial touched, when it takes runout.
        face: Option<Face>,
        /// First spoke taken, from 1.
        start: i64,
        /// The way it is counted.
        counted: Counted,
        /// The tyre, in words.
        tyre: Option<String>,
        /// The tyre's pressure as it was typed, with its unit.
        raw_pressure: Option<String>,
        /// The tyre's pressure in pascals.
        pressure_pa: Option<f64>,
        /// Temperature of the wheel in degrees Celsius.
        temperature_c: Option<f64>,
        /// Anything else.
        note: Option<String>,
    }
}

words! {
    /// How a place of a lap came out.
    Outcome {
        /// It was read.
        Taken = "taken",
        /// It was passed over.
        Skipped = "skipped",
        /// What was read there is taken back.
        Undone = "undone",
    }
}

record! {
    /// One reading of a lap.
    Reading {
        /// The lap.
        lap: Id,
        /// Its place in the order in which the lap was taken, from 1.
        number: i64,
        /// The spoke, from 1, when it was taken at one.
        spoke: Option<i64>,
        /// The angle from the valve hole in degrees, when it was taken at one.
        angle_deg: Option<f64>,
        /// How it came out.
        outcome: Outcome,
        /// What was typed, or what the gauge sent.
        raw: String,
        /// The number in that, in the unit of what the lap takes; none when there is none.
        value: Option<f64>,
    }
}

record! {
    /// A weighing.
    Weighing {
        /// The visit.
        visit: Id,
        /// What was on the wheel.
        dress: Vec<String>,
        /// What was typed.
        raw: String,
        /// The mass in grams.
        mass_g: f64,
        /// Smallest step of the scale in grams.
        step_g: Option<f64>,
    }
}

record! {
    /// A finding of the eye, or that a place was looked at and nothing was found.
    Look {
        /// The visit.
        visit: Id,
        /// The spoke or its hole, from 1, when it is about one.
        spoke: Option<i64>,
        /// The finding.
        finding: String,
        /// Its photo: the bytes are kept by this hash.
        photo: Option<Hash>,
    }
}

record! {
    /// A photo; its bytes are kept by their hash.
    Photo {
        /// The visit.
        visit: Id,
        /// The SHA-256 of its bytes.
        hash: Hash,
        /// What kind of picture it is, `image/jpeg` …
        media_type: String,
        /// Number of bytes.
        length: i64,
        /// What it shows.
        caption: Option<String>,
    }
}
