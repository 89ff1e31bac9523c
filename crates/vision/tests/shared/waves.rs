//! Made-up frames whose motion is known exactly: a sum of plane waves, moved by any amount, with camera noise.

#![allow(dead_code, reason = "each test file takes what it needs")]

use wetframe_vision::Luma;

/// Even numbers, the same in every run.
pub struct Even(pub u64);

impl Even {
    /// From 0 to 1.
    pub fn draw(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 40) as f64 / f64::from(1 << 24)
    }

    /// About normal, standard deviation 1: the sum of twelve even draws.
    pub fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.draw()).sum::<f64>() - 6.0
    }
}

struct Wave {
    across: f64,
    down: f64,
    phase: f64,
    height: f64,
}

/// A texture without end: waves of 5 to 80 pixels in every direction.
pub struct Texture(Vec<Wave>);

impl Texture {
    pub fn new(seed: u64) -> Self {
        let mut even = Even(seed);
        let waves = (0..28).map(|_| {
            let turn = even.draw() * std::f64::consts::PI;
            let length = 5.0 * libm::pow(16.0, even.draw());
            let pace = 2.0 * std::f64::consts::PI / length;
            Wave {
                across: pace * libm::cos(turn),
                down: pace * libm::sin(turn),
                phase: even.draw() * 2.0 * std::f64::consts::PI,
                height: 4.0 + length / 8.0,
            }
        });
        Self(waves.collect())
    }

    /// The texture moved to the right and down by `shift`, with noise of `deviation` grey levels.
    pub fn frame(&self, size: (usize, usize), shift: (f64, f64), deviation: f64, seed: u64) -> Luma<'static> {
        let (width, height) = size;
        let mut noise = Even(seed);
        let mut bytes = Vec::with_capacity(width * height);
        let mut row = vec![0.0; width];
        for y in 0..height {
            row.fill(118.0);
            for wave in &self.0 {
                let start = wave.phase - wave.across * shift.0 + wave.down * (y as f64 - shift.1);
                // Turning a unit vector costs less than a sine for every pixel.
                let (mut re, mut im) = (libm::cos(start), libm::sin(start));
                let (step_re, step_im) = (libm::cos(wave.across), libm::sin(wave.across));
                for value in &mut row {
                    *value += wave.height * im;
                    (re, im) = (re * step_re - im * step_im, re * step_im + im * step_re);
                }
            }
            for value in &row {
                let grain = if deviation > 0.0 {
                    noise.normal() * deviation
                } else {
                    0.0
                };
                #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
                bytes.push((value + grain).round().clamp(0.0, 255.0) as u8);
            }
        }
        Luma::new(bytes, width, height, width).unwrap()
    }
}

/// The value that `share` of the values do not exceed.
pub fn quantile(values: &[f64], share: f64) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "an index")]
    let index = ((sorted.len() - 1) as f64 * share).round() as usize;
    sorted[index]
}
