//! Seeded randomness: the same numbers on every machine, so that the clips can be made again bit for bit.
//!
//! Not for: statistics or anything that needs more than a well-mixed 64-bit counter. The mixing function is
//! SplitMix64 (Steele, Lea & Flood 2014, "Fast splittable pseudorandom number generators", OOPSLA).

/// A stream of random numbers.
#[derive(Clone, Debug)]
pub struct Chance(u64);

impl Chance {
    /// The stream that belongs to `seed`.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ 0x5851_F42D_4C95_7F2D)
    }

    /// The next 64 bits.
    pub fn bits(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        mixed ^ (mixed >> 31)
    }

    /// Uniform in [0, 1).
    pub fn unit(&mut self) -> f64 {
        (self.bits() >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Uniform in [low, high).
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    /// Uniform in [low, high), single precision.
    pub fn between_f32(&mut self, low: f32, high: f32) -> f32 {
        low + (high - low) * self.unit() as f32
    }

    /// Standard normal, cut off at ±2 so that no event can jump over its neighbour.
    pub fn normal(&mut self) -> f64 {
        loop {
            let radius = libm::sqrt(-2.0 * libm::log(1.0 - self.unit()));
            let value = radius * libm::cos(std::f64::consts::TAU * self.unit());
            if value.abs() <= 2.0 {
                return value;
            }
        }
    }
}
