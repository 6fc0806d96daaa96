//! What can be said of a wheel as it stands: of its limits and of its class, at the probability at which the shop decides.

use super::bench::Bench;
use crate::outlook::Outlook;
use metrology::conformity::{LimitVerdict, probability_between};
use wheel::SpokeIndex;

/// What can be said of a wheel as it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Said {
    /// Probability that all that was read of the class is within it.
    pub of_its_class: f64,
    /// Whether no spoke is above its limit, all together; none where a spoke has no known limit that its tension can be
    /// held against, and no other is above its own.
    pub limits: Option<LimitVerdict>,
    /// Spokes that are not surely under their limit.
    pub not_surely_under: Vec<SpokeIndex>,
    /// Spokes without a known limit that their tension can be held against.
    pub without_limit: Vec<SpokeIndex>,
    /// The probability at which both are decided.
    pub decide_at: f64,
}

impl Said {
    /// Whether what was read is of the class at the shop's probability.
    #[must_use]
    pub fn is_surely_of_its_class(&self) -> bool {
        self.decide_at <= self.of_its_class
    }
}

impl Bench<'_> {
    /// What can be said of the wheel as it stands.
    ///
    /// However the tensions hang together, all are under their limits with at least 1 − Σ(1 − p) and at most the least p of a
    /// single spoke (Bonferroni, from memory): the verdict needs the former to be enough, or the latter not to be.
    pub(super) fn said(&self, drawn: &Outlook) -> Said {
        let decide_at = self.request.decide_at;
        let (mut doubted, mut least) = (0.0, 1.0_f64);
        let (mut not_surely_under, mut without_limit) = (Vec::new(), Vec::new());
        let each = (1.0 - decide_at) / self.response.spokes() as f64;
        for spoke in 0..self.response.spokes() {
            let Some((most_n, _)) = self.ceilings[spoke] else {
                without_limit.push(SpokeIndex(spoke));
                continue;
            };
            let (value_n, u_n) = (self.tension_n[spoke], self.tension_u_n[spoke]);
            let under = probability_between(value_n, u_n, f64::NEG_INFINITY, most_n);
            doubted += 1.0 - under;
            least = least.min(under);
            if each < 1.0 - under {
                not_surely_under.push(SpokeIndex(spoke));
            }
        }
        let limits = match LimitVerdict::at(least, decide_at) {
            LimitVerdict::Over => Some(LimitVerdict::Over),
            _ if !without_limit.is_empty() => None,
            _ if decide_at <= 1.0 - doubted => Some(LimitVerdict::Under),
            _ => Some(LimitVerdict::CannotTell),
        };
        Said {
            of_its_class: drawn.share_of(|one| self.objective.worst_share(one) <= 1.0),
            limits,
            not_surely_under,
            without_limit,
            decide_at,
        }
    }
}
