//! Operators and functions of uncertain values: the value as for plain numbers, the derivatives beside it (eq. 1.4).

use super::{Contribution, Uncertain};
use std::cmp::Ordering;
use std::ops::{Add, Div, Mul, Neg, Sub};

impl Uncertain {
    /// The function with this value and this derivative at the estimate.
    #[must_use]
    pub fn function(&self, value: f64, derivative: f64) -> Self {
        if derivative == 0.0 {
            return Self::exact(value);
        }
        Self {
            value,
            contributions: self.times(derivative).collect(),
        }
    }

    /// e to its power.
    #[must_use]
    pub fn exp(&self) -> Self {
        let value = self.value.exp();
        self.function(value, value)
    }

    /// The natural logarithm.
    #[must_use]
    pub fn ln(&self) -> Self {
        self.function(self.value.ln(), 1.0 / self.value)
    }

    /// The square root.
    #[must_use]
    pub fn sqrt(&self) -> Self {
        let value = self.value.sqrt();
        self.function(value, 0.5 / value)
    }

    /// One over it.
    #[must_use]
    pub fn recip(&self) -> Self {
        let value = 1.0 / self.value;
        self.function(value, -value * value)
    }

    /// Its size without its sign; at zero, where there is no derivative, the standard uncertainty is kept.
    #[must_use]
    pub fn abs(&self) -> Self {
        self.function(self.value.abs(), 1.0_f64.copysign(self.value))
    }

    /// A whole power.
    #[must_use]
    pub fn powi(&self, exponent: i32) -> Self {
        let derivative = if exponent == 0 {
            0.0
        } else {
            f64::from(exponent) * self.value.powi(exponent - 1)
        };
        self.function(self.value.powi(exponent), derivative)
    }

    /// A power with an exact exponent.
    #[must_use]
    pub fn powf(&self, exponent: f64) -> Self {
        let derivative = if exponent == 0.0 {
            0.0
        } else {
            exponent * self.value.powf(exponent - 1.0)
        };
        self.function(self.value.powf(exponent), derivative)
    }

    /// A power with an uncertain exponent; the base must be positive unless the exponent is exact.
    #[must_use]
    pub fn pow(&self, exponent: &Self) -> Self {
        let base = self.powf(exponent.value);
        let rest = exponent.function(base.value, base.value * self.value.ln());
        linear(base.value, (&base, 1.0), (&rest, 1.0))
    }

    /// The sine of an angle in radians.
    #[must_use]
    pub fn sin(&self) -> Self {
        self.function(self.value.sin(), self.value.cos())
    }

    /// The cosine of an angle in radians.
    #[must_use]
    pub fn cos(&self) -> Self {
        self.function(self.value.cos(), -self.value.sin())
    }

    /// The tangent of an angle in radians.
    #[must_use]
    pub fn tan(&self) -> Self {
        let value = self.value.tan();
        self.function(value, 1.0 + value * value)
    }

    /// The angle in radians whose sine it is.
    #[must_use]
    pub fn asin(&self) -> Self {
        self.function(
            self.value.asin(),
            1.0 / (1.0 - self.value * self.value).sqrt(),
        )
    }

    /// The angle in radians whose cosine it is.
    #[must_use]
    pub fn acos(&self) -> Self {
        self.function(
            self.value.acos(),
            -1.0 / (1.0 - self.value * self.value).sqrt(),
        )
    }

    /// The angle in radians whose tangent it is.
    #[must_use]
    pub fn atan(&self) -> Self {
        self.function(self.value.atan(), 1.0 / (1.0 + self.value * self.value))
    }

    /// The direction in radians of the point that lies `self` up and `across` to the right.
    #[must_use]
    pub fn atan2(&self, across: &Self) -> Self {
        let square = self.value * self.value + across.value * across.value;
        let value = self.value.atan2(across.value);
        linear(
            value,
            (self, across.value / square),
            (across, -self.value / square),
        )
    }

    /// The distance of the point that lies `self` up and `across` to the right.
    #[must_use]
    pub fn hypot(&self, across: &Self) -> Self {
        let value = self.value.hypot(across.value);
        linear(
            value,
            (self, self.value / value),
            (across, across.value / value),
        )
    }
}

/// The function of two values with this value and these two derivatives.
fn linear(value: f64, one: (&Uncertain, f64), two: (&Uncertain, f64)) -> Uncertain {
    let mut contributions =
        Vec::with_capacity(one.0.contributions.len() + two.0.contributions.len());
    let mut keep = |part: Contribution| {
        if part.amount != 0.0 {
            contributions.push(part);
        }
    };
    let (mut left, mut right) = (one.0.times(one.1).peekable(), two.0.times(two.1).peekable());
    loop {
        let order = match (left.peek(), right.peek()) {
            (Some(mine), Some(theirs)) => mine.latent.cmp(&theirs.latent),
            (Some(_), None) => Ordering::Less,
            (None, Some(_)) => Ordering::Greater,
            (None, None) => break,
        };
        match order {
            Ordering::Less => left.next().into_iter().for_each(&mut keep),
            Ordering::Greater => right.next().into_iter().for_each(&mut keep),
            Ordering::Equal => {
                left.next()
                    .zip(right.next())
                    .into_iter()
                    .for_each(|(mine, theirs)| {
                        keep(Contribution {
                            amount: mine.amount + theirs.amount,
                            ..mine
                        })
                    })
            }
        }
    }
    Uncertain {
        value,
        contributions,
    }
}

/// An operator on values, references to them and plain numbers, from the value and its two derivatives.
macro_rules! operator {
    ($trait:ident, $method:ident, |$a:ident, $b:ident, $value:ident| $result:expr, $left:expr, $right:expr) => {
        impl $trait<&Uncertain> for &Uncertain {
            type Output = Uncertain;
            fn $method(self, other: &Uncertain) -> Uncertain {
                let ($a, $b) = (self.value, other.value);
                let $value = $result;
                linear($value, (self, $left), (other, $right))
            }
        }
        impl $trait<f64> for &Uncertain {
            type Output = Uncertain;
            fn $method(self, other: f64) -> Uncertain {
                self.$method(&Uncertain::exact(other))
            }
        }
        impl $trait<&Uncertain> for f64 {
            type Output = Uncertain;
            fn $method(self, other: &Uncertain) -> Uncertain {
                (&Uncertain::exact(self)).$method(other)
            }
        }
        operator!(owned $trait, $method, Uncertain, Uncertain, |one, two| (&one).$method(&two));
        operator!(owned $trait, $method, Uncertain, &Uncertain, |one, two| (&one).$method(two));
        operator!(owned $trait, $method, &Uncertain, Uncertain, |one, two| one.$method(&two));
        operator!(owned $trait, $method, Uncertain, f64, |one, two| (&one).$method(two));
        operator!(owned $trait, $method, f64, Uncertain, |one, two| one.$method(&two));
    };
    (owned $trait:ident, $method:ident, $one:ty, $two:ty, |$a:ident, $b:ident| $result:expr) => {
        impl $trait<$two> for $one {
            type Output = Uncertain;
            fn $method(self, other: $two) -> Uncertain {
                let ($a, $b) = (self, other);
                $result
            }
        }
    };
}

operator!(Add, add, |a, b, value| a + b, 1.0, 1.0);
operator!(Sub, sub, |a, b, value| a - b, 1.0, -1.0);
operator!(Mul, mul, |a, b, value| a * b, b, a);
operator!(Div, div, |a, b, value| a / b, 1.0 / b, -value / b);

impl Neg for &Uncertain {
    type Output = Uncertain;
    fn neg(self) -> Uncertain {
        self.function(-self.value, -1.0)
    }
}

impl Neg for Uncertain {
    type Output = Uncertain;
    fn neg(self) -> Uncertain {
        -&self
    }
}

impl<'a> std::iter::Sum<&'a Uncertain> for Uncertain {
    fn sum<I: Iterator<Item = &'a Uncertain>>(values: I) -> Self {
        let inputs: Vec<(&Uncertain, f64)> = values.map(|one| (one, 1.0)).collect();
        Self::combine(inputs.iter().map(|(one, _)| one.value).sum(), &inputs)
    }
}
