//! Copied frames, told from the pictures: a copy has a time of its own, but its picture hardly differs from
//! the one before it.
//!
//! Phones that flatten slow motion, editors that change the rate and screen recorders repeat frames. The frame
//! table cannot show that; the luma planes of successive frames can. How much successive pictures of *this*
//! clip usually differ (motion and sensor noise together) is measured around each frame, and a frame counts as
//! copied if it differs far less. Where nothing usually differs, as in a still scene without noise, copies
//! cannot be told from frames, and the judgement says so instead of calling them all copies.
//!
//! Pure: whoever decodes the frames hands over their planes one at a time; one plane and one number a frame
//! are kept. The measure is the mean absolute difference over tiles (common practice, no source).

use serde::Serialize;
use thiserror::Error;

/// One picture's luma, 8 bits a pixel, in rows of `stride` bytes.
#[derive(Clone, Copy, Debug)]
pub struct LumaPlane<'bytes> {
    /// The rows; at least `stride × (height − 1) + width` bytes.
    pub bytes: &'bytes [u8],
    /// Visible pixels a row.
    pub width: usize,
    /// Visible rows.
    pub height: usize,
    /// From one row's start to the next's, bytes; at least `width`.
    pub stride: usize,
}

/// A plane that cannot be compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum CadenceError {
    /// Its bytes are not those of a picture of its size.
    #[error("a luma plane of {width}×{height} pixels with rows of {stride} bytes has only {bytes} bytes")]
    Incomplete {
        /// Visible pixels a row.
        width: usize,
        /// Visible rows.
        height: usize,
        /// Bytes from row to row.
        stride: usize,
        /// Bytes given.
        bytes: usize,
    },
    /// Frames come in presentation order, each once.
    #[error("frame {frame} was given after frame {before}; frames come in presentation order")]
    OutOfOrder {
        /// The frame that was given.
        frame: u32,
        /// The one before it.
        before: u32,
    },
}

/// Side of the tiles that are compared, pixels.
const TILE: usize = 16;
/// A difference is the mean over the most changed eighth of the tiles: a swimmer fills a small part of the
/// picture, and what changes there must not drown in still water.
const CHANGED_SHARE: usize = 8;
/// Frames on either side from which it is told what is usual.
const SURROUNDINGS: usize = 24;
/// What is usual is the difference that nine in ten do not exceed: three of four frames may be copies (120
/// frames/s made from 30) and the true ones still set it.
const USUAL_QUANTILE: f32 = 0.9;
/// A copy differs by less than this share of what is usual; a frame of its own, even at rest, by more.
const COPY_BELOW: f32 = 0.15;
/// Grey levels of 255. Where even the usual difference is smaller, coding has removed what would tell.
const LEAST_USUAL: f32 = 0.5;

/// Compares each frame with the one before it.
#[derive(Clone, Debug, Default)]
pub struct Cadence {
    /// The last plane without its padding.
    previous: Vec<u8>,
    size: (usize, usize),
    last: Option<u32>,
    /// `(frame, difference from the frame before it in grey levels)`.
    differences: Vec<(u32, f32)>,
}

/// What the planes say about a clip.
#[derive(Clone, Debug, Default, PartialEq, Serialize)]
pub struct CadenceJudgement {
    /// Frames that repeat the picture of the one before them, in order.
    pub duplicated: Vec<u32>,
    /// How many frames could be judged.
    pub judged: u32,
    /// How many could not, because nothing around them changes enough to tell.
    pub too_still: u32,
}

impl CadenceJudgement {
    /// Share of the judged frames that are copies, 0 to 1; `None` if none could be judged.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "a clip has far fewer than 2^52 frames")]
    pub fn duplicated_share(&self) -> Option<f64> {
        (self.judged > 0).then(|| self.duplicated.len() as f64 / f64::from(self.judged))
    }
}

impl Cadence {
    /// Nothing seen yet.
    #[must_use]
    pub fn new() -> Self {
        Self::default()
    }

    /// Takes the plane of frame `frame`, counted in presentation order. Frames may be left out: the frame after
    /// a gap is compared with nothing.
    ///
    /// # Errors
    /// [`CadenceError`]; nothing is changed then.
    pub fn add(&mut self, frame: u32, plane: LumaPlane<'_>) -> Result<(), CadenceError> {
        let LumaPlane {
            bytes,
            width,
            height,
            stride,
        } = plane;
        let needed = stride
            .checked_mul(height.saturating_sub(1))
            .and_then(|rows| rows.checked_add(width));
        if width == 0 || height == 0 || stride < width || needed.is_none_or(|needed| bytes.len() < needed) {
            return Err(CadenceError::Incomplete {
                width,
                height,
                stride,
                bytes: bytes.len(),
            });
        }
        if let Some(before) = self.last.filter(|before| frame <= *before) {
            return Err(CadenceError::OutOfOrder { frame, before });
        }
        let follows = self.last.is_some_and(|before| before + 1 == frame) && self.size == (width, height);
        let rows = bytes.chunks(stride).take(height).map(|row| &row[..width]);
        if follows {
            let difference = difference(rows.clone(), &self.previous, width);
            self.differences.push((frame, difference));
        }
        self.previous.clear();
        rows.for_each(|row| self.previous.extend_from_slice(row));
        self.size = (width, height);
        self.last = Some(frame);
        Ok(())
    }

    /// What the planes so far say.
    #[must_use]
    pub fn judgement(&self) -> CadenceJudgement {
        let mut judgement = CadenceJudgement::default();
        for (index, (frame, difference)) in self.differences.iter().enumerate() {
            let from = index.saturating_sub(SURROUNDINGS);
            let to = (index + SURROUNDINGS + 1).min(self.differences.len());
            let usual = usual(&self.differences[from..to]);
            if usual < LEAST_USUAL {
                judgement.too_still += 1;
                continue;
            }
            judgement.judged += 1;
            if *difference < COPY_BELOW * usual {
                judgement.duplicated.push(*frame);
            }
        }
        judgement
    }
}

/// Mean absolute difference over the most changed tiles, grey levels.
#[expect(
    clippy::cast_precision_loss,
    reason = "a tile's sum is at most 65,280; a plane has fewer than 2^24 tiles"
)]
fn difference<'row>(rows: impl Iterator<Item = &'row [u8]>, previous: &[u8], width: usize) -> f32 {
    let across = width.div_ceil(TILE);
    let mut tiles: Vec<(u32, u32)> = Vec::new();
    for (y, (row, before)) in rows.zip(previous.chunks(width)).enumerate() {
        let first = y / TILE * across;
        tiles.resize(first + across, (0, 0));
        let pieces = row.chunks(TILE).zip(before.chunks(TILE));
        for ((sum, pixels), (now, before)) in tiles[first..].iter_mut().zip(pieces) {
            *sum += now
                .iter()
                .zip(before)
                .map(|(now, before)| u32::from(now.abs_diff(*before)))
                .sum::<u32>();
            *pixels += u32::try_from(now.len()).unwrap_or(0);
        }
    }
    let mut means: Vec<f32> = tiles
        .iter()
        .map(|(sum, pixels)| *sum as f32 / (*pixels).max(1) as f32)
        .collect();
    let most = means.len().div_ceil(CHANGED_SHARE);
    if most < means.len() {
        means.select_nth_unstable_by(most, |a, b| b.total_cmp(a));
    }
    means.iter().take(most).sum::<f32>() / most.max(1) as f32
}

#[expect(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "the index of a share of at most 49 differences"
)]
fn usual(differences: &[(u32, f32)]) -> f32 {
    let mut values: Vec<f32> = differences.iter().map(|(_, difference)| *difference).collect();
    let Some(last) = values.len().checked_sub(1) else {
        return 0.0;
    };
    let index = (last as f32 * USUAL_QUANTILE) as usize;
    *values.select_nth_unstable_by(index, f32::total_cmp).1
}

#[cfg(test)]
mod tests {
    use super::*;

    const WIDTH: usize = 160;
    const HEIGHT: usize = 96;

    /// A small generator, so that the tests need no crate: the same noise in every run.
    struct Noise(u64);

    impl Noise {
        /// About normal (the sum of four even draws), standard deviation `deviation`.
        fn draw(&mut self, deviation: f64) -> f64 {
            let sum: f64 = (0..4)
                .map(|_| {
                    self.0 = self
                        .0
                        .wrapping_mul(6_364_136_223_846_793_005)
                        .wrapping_add(1_442_695_040_888_963_407);
                    (self.0 >> 40) as f64 / f64::from(1 << 24) - 0.5
                })
                .sum();
            sum * deviation * 3.0_f64.sqrt()
        }
    }

    /// A textured patch, a tenth of the picture, that has moved `shift` pixels over still water.
    fn picture(shift: usize, deviation: f64, noise: &mut Noise) -> Vec<u8> {
        (0..WIDTH * HEIGHT)
            .map(|index| {
                let (x, y) = (index % WIDTH, index / WIDTH);
                let water = 90.0 + (x / 8 % 3 * 4) as f64;
                let inside = (30..60).contains(&y) && x >= shift && x - shift < 50;
                let value = if inside {
                    120.0 + ((x - shift) / 5 % 2 * 60) as f64
                } else {
                    water
                };
                #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped")]
                let level = (value + noise.draw(deviation)).clamp(0.0, 255.0).round() as u8;
                level
            })
            .collect()
    }

    /// `copies(frame)`: whether that frame repeats the one before it.
    fn judged(frames: u32, speed: usize, deviation: f64, copies: impl Fn(u32) -> bool) -> CadenceJudgement {
        let mut noise = Noise(7);
        let mut cadence = Cadence::new();
        let (mut shift, mut bytes) = (0, picture(0, deviation, &mut noise));
        for frame in 0..frames {
            if frame > 0 && !copies(frame) {
                shift += speed;
                bytes = picture(shift % 100, deviation, &mut noise);
            }
            let plane = LumaPlane {
                bytes: &bytes,
                width: WIDTH,
                height: HEIGHT,
                stride: WIDTH,
            };
            cadence.add(frame, plane).unwrap();
        }
        cadence.judgement()
    }

    #[test]
    fn every_fifth_frame_copied_is_found_with_and_without_noise() {
        for deviation in [0.0, 2.0, 6.0] {
            let judgement = judged(100, 1, deviation, |frame| frame % 5 == 4);
            let expected: Vec<u32> = (0..100).filter(|frame| frame % 5 == 4).collect();
            assert_eq!(judgement.duplicated, expected, "noise {deviation}");
            assert_eq!((judgement.judged, judgement.too_still), (99, 0));
        }
    }

    #[test]
    fn three_of_four_copied_are_found() {
        let judgement = judged(120, 3, 2.0, |frame| frame % 4 != 0);
        assert_eq!(judgement.duplicated.len(), 90);
        assert!((judgement.duplicated_share().unwrap() - 90.0 / 119.0).abs() < 1e-12);
    }

    #[test]
    fn a_moving_clip_without_copies_has_none() {
        for (speed, deviation) in [(1, 0.0), (1, 4.0), (3, 1.0)] {
            assert_eq!(
                judged(100, speed, deviation, |_| false).duplicated,
                [0_u32; 0],
                "{speed} {deviation}"
            );
        }
    }

    #[test]
    fn a_still_scene_with_noise_has_no_copies_and_says_so() {
        let judgement = judged(80, 0, 2.0, |_| false);
        assert_eq!((judgement.duplicated.len(), judgement.judged), (0, 79));
    }

    #[test]
    fn a_still_scene_without_noise_is_not_judged() {
        let judgement = judged(80, 0, 0.0, |_| false);
        assert_eq!(
            (judgement.duplicated.len(), judgement.judged, judgement.too_still),
            (0, 0, 79)
        );
        assert_eq!(judgement.duplicated_share(), None);
    }

    #[test]
    fn a_pause_in_a_moving_clip_is_left_open_where_it_is_long() {
        // Frames 100 to 199 stand still and carry no noise.
        let judgement = judged(300, 1, 0.0, |frame| (100..200).contains(&frame));
        assert!(judgement.too_still > 40, "{judgement:?}");
        assert!(
            judgement
                .duplicated
                .iter()
                .all(|frame| (100..200).contains(frame))
        );
    }

    #[test]
    fn padding_between_rows_does_not_count() {
        let mut noise = Noise(3);
        let plain: Vec<Vec<u8>> = (0..40).map(|frame| picture(frame, 2.0, &mut noise)).collect();
        let (mut tight, mut padded) = (Cadence::new(), Cadence::new());
        for (frame, bytes) in (0..).zip(&plain) {
            let rows = bytes.chunks(WIDTH);
            let wide: Vec<u8> = rows
                .flat_map(|row| [row, &[u8::try_from(frame).unwrap(); 13]].concat())
                .collect();
            let plane = |bytes, stride| LumaPlane {
                bytes,
                width: WIDTH,
                height: HEIGHT,
                stride,
            };
            tight.add(frame, plane(bytes, WIDTH)).unwrap();
            padded.add(frame, plane(&wide, WIDTH + 13)).unwrap();
        }
        assert_eq!(tight.differences, padded.differences);
    }

    #[test]
    fn planes_that_do_not_fit_and_frames_out_of_order_are_refused() {
        let mut cadence = Cadence::new();
        let plane = |bytes, stride| LumaPlane {
            bytes,
            width: 4,
            height: 2,
            stride,
        };
        assert!(matches!(
            cadence.add(0, plane(&[0; 7], 4)),
            Err(CadenceError::Incomplete { .. })
        ));
        assert!(matches!(
            cadence.add(0, plane(&[0; 8], 3)),
            Err(CadenceError::Incomplete { .. })
        ));
        cadence.add(5, plane(&[0; 8], 4)).unwrap();
        assert_eq!(
            cadence.add(5, plane(&[0; 8], 4)),
            Err(CadenceError::OutOfOrder { frame: 5, before: 5 })
        );
    }
}
