//! What sort of bad news an error is, for a face that shows it.

use super::Error;
use ledger::Refusal;

/// What whoever asked can do about an error.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sort {
    /// There is no such thing: look for another.
    Missing,
    /// Somebody was quicker: look at what stands there, then decide.
    Collision,
    /// What was entered cannot be taken: mend it. The error says how.
    Input,
    /// The machine or the program failed. Its words are for whoever runs it.
    Fault,
}

impl Error {
    /// What sort of bad news this is.
    #[must_use]
    pub fn sort(&self) -> Sort {
        match self {
            Self::Missing { .. } => Sort::Missing,
            Self::PlaceTaken { .. }
            | Self::TurnMade { .. }
            | Self::ChangedSince { .. }
            | Self::PlanOver { .. } => Sort::Collision,
            Self::Refused(refusal) => match refusal {
                Refusal::AlreadySuperseded { .. }
                | Refusal::NotAsSeen { .. }
                | Refusal::OtherContent { .. } => Sort::Collision,
                Refusal::Store(_) => Sort::Fault,
                Refusal::Unknown { .. } => Sort::Missing,
                _ => Sort::Input,
            },
            Self::Wrong(_)
            | Self::Analyse(_)
            | Self::Calibrate(_)
            | Self::NoPlan(_)
            | Self::TurnedSince { .. }
            | Self::ReadSince { .. }
            | Self::NoTurn { .. }
            | Self::NoLabel(_)
            | Self::Unsaid { .. }
            | Self::NotThat { .. }
            | Self::NoPlace { .. }
            | Self::Otherwise { .. } => Sort::Input,
            _ => Sort::Fault,
        }
    }
}
