//! Seeded random draws: the same seed gives the same draws, on every machine to the printed digit.

mod ziggurat;

use rand_chacha::ChaCha8Rng;
use rand_chacha::rand_core::{Rng, SeedableRng};
use ziggurat::Ziggurat;

/// One step of a number drawn with 53 bits.
const STEP: f64 = 1.0 / (1_u64 << 53) as f64;

/// A stream of independent draws.
///
/// The key of the generator (ChaCha with 8 rounds) is the seed and nothing else, the nonce the number of the stream.
#[derive(Debug, Clone)]
pub struct Draws {
    generator: ChaCha8Rng,
    ziggurat: &'static Ziggurat,
}

impl Draws {
    /// The stream number 0 of a seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self::stream(seed, 0)
    }

    /// One of the streams of a seed; no two of them overlap.
    #[must_use]
    pub fn stream(seed: u64, stream_number: u64) -> Self {
        let mut key = [0; 32];
        key[..8].copy_from_slice(&seed.to_le_bytes());
        let mut generator = ChaCha8Rng::from_seed(key);
        generator.set_stream(stream_number);
        Self {
            generator,
            ziggurat: Ziggurat::table(),
        }
    }

    /// A number from 0 (included) to 1 (excluded), all alike.
    #[inline]
    pub fn unit(&mut self) -> f64 {
        (self.generator.next_u64() >> 11) as f64 * STEP
    }

    /// A number from −1 (included) to 1 (excluded), all alike; its standard deviation is 1/√3.
    #[inline]
    pub fn rectangular(&mut self) -> f64 {
        2.0 * self.unit() - 1.0
    }

    /// A number from the standard normal distribution (eq. 1.18, 1.19).
    #[inline]
    pub fn normal(&mut self) -> f64 {
        let bits = self.generator.next_u64();
        match self.ziggurat.inside(bits) {
            Ok(normal) => normal,
            Err(edge) => self.normal_at(edge),
        }
    }

    /// A number from χ² with these degrees of freedom (eq. 1.20).
    ///
    /// Degrees of freedom that are not finite and above zero give NaN.
    pub fn chi_squared(&mut self, degrees_of_freedom: f64) -> f64 {
        let shape = 0.5 * degrees_of_freedom;
        if !(shape > 0.0 && shape.is_finite()) {
            return f64::NAN;
        }
        if shape < 1.0 {
            let boost = (1.0 - self.unit()).powf(1.0 / shape);
            return self.chi_squared(degrees_of_freedom + 2.0) * boost;
        }
        let centre = shape - 1.0 / 3.0;
        let spread = 1.0 / (9.0 * centre).sqrt();
        loop {
            let normal = self.normal();
            let cube = (1.0 + spread * normal).powi(3);
            let level = (1.0 - self.unit()).ln();
            if cube > 0.0 && level < 0.5 * normal * normal + centre * (1.0 - cube + cube.ln()) {
                return 2.0 * centre * cube;
            }
        }
    }

    /// A number from Student's t: what stands for a mean whose scatter was itself observed (JCGM 101, 6.4.9).
    ///
    /// Infinite degrees of freedom give the normal one; what is not above zero gives NaN.
    pub fn student_t(&mut self, degrees_of_freedom: f64) -> f64 {
        let normal = self.normal();
        if degrees_of_freedom == f64::INFINITY {
            return normal;
        }
        normal / (self.chi_squared(degrees_of_freedom) / degrees_of_freedom).sqrt()
    }

    /// A normal draw that began in a layer's edge: accepted, or begun anew.
    #[cold]
    fn normal_at(&mut self, mut edge: ziggurat::Edge) -> f64 {
        loop {
            if let Some(normal) = self
                .ziggurat
                .at_edge(edge, || (self.generator.next_u64() >> 11) as f64 * STEP)
            {
                return normal;
            }
            match self.ziggurat.inside(self.generator.next_u64()) {
                Ok(normal) => return normal,
                Err(next) => edge = next,
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: published ChaCha test vectors, 8 rounds, 256-bit key of zeros, nonce 0 (from memory).
    #[test]
    fn the_generator_is_chacha_with_eight_rounds() {
        let mut generator = Draws::new(0).generator;
        let mut stream = [0; 32];
        generator.fill_bytes(&mut stream);
        let hex: String = stream.iter().map(|byte| format!("{byte:02x}")).collect();
        assert_eq!(
            hex,
            "3e00ef2f895f40d67f5bb8e81f09a5a12c840ec3ce9a7f3b181be188ef711a1e"
        );
    }

    #[test]
    fn a_seed_and_a_stream_number_fix_every_draw() {
        let three = |mut draws: Draws| [draws.normal(), draws.unit(), draws.student_t(3.0)];
        assert_eq!(three(Draws::stream(7, 2)), three(Draws::stream(7, 2)));
        assert_eq!(three(Draws::stream(7, 0)), three(Draws::new(7)));
        assert_ne!(three(Draws::stream(7, 2)), three(Draws::stream(7, 3)));
        assert_ne!(three(Draws::stream(7, 2)), three(Draws::stream(8, 2)));
    }

    /// Our own first draws: another machine, or a newer generator, must give the same wheel the same report.
    #[test]
    fn regression_a_seed_gives_the_draws_it_always_gave() {
        let mut draws = Draws::new(42);
        let first = [draws.unit(), draws.unit(), draws.unit()];
        assert_eq!(
            first,
            [
                0.348_254_468_548_076_3,
                0.285_698_571_262_962_05,
                0.493_472_464_241_664_6
            ]
        );
        let mut draws = Draws::new(42);
        for expected in [
            1.036_482_260_587_110_2,
            1.284_143_672_010_243,
            -0.280_284_786_577_023_6,
        ] {
            assert!((draws.normal() - expected).abs() < 1e-13);
        }
        let mut draws = Draws::stream(42, 7);
        let found = [
            draws.rectangular(),
            draws.normal(),
            draws.chi_squared(3.0),
            draws.student_t(4.0),
        ];
        let expected = [
            -0.628_641_220_911_189_1,
            -1.114_034_589_076_968_3,
            1.884_701_103_286_358_3,
            -0.453_536_522_690_439_65,
        ];
        for (found, expected) in found.into_iter().zip(expected) {
            assert!((found - expected).abs() < 1e-13, "{found}, not {expected}");
        }
        // So many draws meet every layer, edge and tail; one decided otherwise would shift what follows.
        let mut draws = Draws::new(42);
        let largest = (0..100_000).map(|_| draws.normal()).fold(0.0, f64::max);
        assert!((largest - 4.856_867_282_996_341).abs() < 1e-13);
        assert_eq!(draws.unit(), 0.723_432_351_021_787_4);
    }

    #[test]
    fn degrees_of_freedom_that_mean_nothing_draw_no_number() {
        let mut draws = Draws::new(1);
        for nu in [0.0, -1.0, f64::NAN] {
            assert!(draws.chi_squared(nu).is_nan() && draws.student_t(nu).is_nan());
        }
        assert!(draws.student_t(f64::INFINITY).is_finite());
    }
}
