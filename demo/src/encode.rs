//! From frames to a clip: ffmpeg, twice.
//!
//! Frames go once into a lossless file beside the build; the clip is then made from it at a bounded rate, so
//! that its size is known beforehand and it can be made again without drawing.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, ExitStatus, Stdio};

use thiserror::Error;

use crate::camera::{HEIGHT, WIDTH};
use crate::truth::{RATE_FPS, TIMESCALE};

/// Why a clip could not be made.
#[derive(Debug, Error)]
pub enum EncodeError {
    /// ffmpeg is not there or cannot be started.
    #[error("cannot start ffmpeg: {0}; install it (Debian: apt-get install ffmpeg)")]
    Start(#[source] std::io::Error),
    /// ffmpeg stopped taking frames.
    #[error("ffmpeg stopped taking frames: {0}")]
    Feed(#[source] std::io::Error),
    /// ffmpeg ended badly.
    #[error("ffmpeg ended with {status} while making {}", file.display())]
    Failed {
        /// What it was making.
        file: PathBuf,
        /// How it ended.
        status: ExitStatus,
    },
}

/// A lossless file that takes frames in order.
pub struct Reel {
    process: Child,
    file: PathBuf,
}

impl Reel {
    /// Starts a new file.
    ///
    /// # Errors
    /// [`EncodeError::Start`].
    pub fn create(file: &Path) -> Result<Self, EncodeError> {
        let process = Command::new("ffmpeg")
            .args([
                "-y",
                "-loglevel",
                "error",
                "-f",
                "rawvideo",
                "-pixel_format",
                "rgb24",
            ])
            .args([
                "-video_size",
                &format!("{WIDTH}x{HEIGHT}"),
                "-framerate",
                &RATE_FPS.to_string(),
                "-i",
                "-",
            ])
            .args([
                "-vf",
                "scale=out_color_matrix=bt709:out_range=tv",
                "-pix_fmt",
                "yuv420p",
            ])
            .args([
                "-c:v",
                "libx264",
                "-qp",
                "0",
                "-preset",
                "ultrafast",
                "-threads",
                "1",
            ])
            .arg(file)
            .stdin(Stdio::piped())
            .spawn()
            .map_err(EncodeError::Start)?;
        Ok(Self {
            process,
            file: file.to_owned(),
        })
    }

    /// Adds a frame: rows of red, green, blue bytes.
    ///
    /// # Errors
    /// [`EncodeError::Feed`].
    pub fn add(&mut self, frame: &[u8]) -> Result<(), EncodeError> {
        match &mut self.process.stdin {
            Some(pipe) => pipe.write_all(frame).map_err(EncodeError::Feed),
            None => Err(EncodeError::Feed(std::io::ErrorKind::BrokenPipe.into())),
        }
    }

    /// Ends the file.
    ///
    /// # Errors
    /// [`EncodeError::Feed`] or [`EncodeError::Failed`].
    pub fn finish(mut self) -> Result<(), EncodeError> {
        drop(self.process.stdin.take());
        let status = self.process.wait().map_err(EncodeError::Feed)?;
        succeeded(status, &self.file)
    }
}

fn succeeded(status: ExitStatus, file: &Path) -> Result<(), EncodeError> {
    if status.success() {
        Ok(())
    } else {
        Err(EncodeError::Failed {
            file: file.to_owned(),
            status,
        })
    }
}

/// Most bits a second of the finished clips, over any window of [`BUFFER_BITS`]: 14.4 s stay under 3 MiB.
const BITS_PER_S: u32 = 1_640_000;
/// The decoder's buffer that this rate is kept in, bits.
const BUFFER_BITS: u32 = 1_200_000;

/// The finished clip from the lossless one.
///
/// # Errors
/// [`EncodeError::Start`] or [`EncodeError::Failed`].
pub fn clip_from_reel(reel: &Path, clip: &Path) -> Result<(), EncodeError> {
    let status = Command::new("ffmpeg")
        .args(["-y", "-loglevel", "error", "-i"])
        .arg(reel)
        .args([
            "-an",
            "-map_metadata",
            "-1",
            "-fflags",
            "+bitexact",
            "-flags:v",
            "+bitexact",
        ])
        .args([
            "-c:v",
            "libx264",
            "-profile:v",
            "high",
            "-pix_fmt",
            "yuv420p",
            "-preset",
            "slow",
        ])
        .args([
            "-crf",
            "19",
            "-maxrate",
            &BITS_PER_S.to_string(),
            "-bufsize",
            &BUFFER_BITS.to_string(),
        ])
        .args([
            "-threads",
            "2",
            "-g",
            "60",
            "-keyint_min",
            "60",
            "-sc_threshold",
            "0",
            "-bf",
            "3",
        ])
        .args([
            "-color_primaries",
            "bt709",
            "-color_trc",
            "bt709",
            "-colorspace",
            "bt709",
        ])
        .args([
            "-video_track_timescale",
            &TIMESCALE.to_string(),
            "-movflags",
            "+faststart",
        ])
        .arg(clip)
        .status()
        .map_err(EncodeError::Start)?;
    succeeded(status, clip)
}
