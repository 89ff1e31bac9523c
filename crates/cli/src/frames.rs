//! `wetframe frames CLIP`: a clip's frame table as CSV.
//!
//! Not for: decoding, or anything about what the pictures show.

use std::io::Write;
use std::path::Path;

use clip::{ClipError, ClipWarning, FileSource, read_clip};

/// The columns, in this order.
pub const COLUMNS: [&str; 6] = [
    "frame",
    "presentation_ticks",
    "timescale",
    "presentation_s",
    "duration_s",
    "keyframe",
];

/// Why there is no table.
#[derive(Debug, thiserror::Error)]
pub enum FramesError {
    /// The file could not be opened.
    #[error("{file}: {reason}")]
    Open {
        /// As it was given.
        file: String,
        /// What the system says.
        reason: std::io::Error,
    },
    /// The file gives no frame table.
    #[error("{file}: {reason}\n{}", .reason.hint())]
    Clip {
        /// As it was given.
        file: String,
        /// What is wrong with it.
        reason: ClipError,
    },
    /// The table could not be written.
    #[error("the table could not be written: {0}")]
    Write(#[from] csv::Error),
}

/// Writes the frames of the clip at `path` in presentation order (RFC 4180): `frame` counts from 0,
/// `presentation_ticks` are in `timescale` ticks a second from the start of the presentation, `presentation_s`
/// and `duration_s` are the same in seconds of playback to the nanosecond, `keyframe` is `true` or `false`.
/// Gives what should be said about the clip beside the table.
///
/// # Errors
/// [`FramesError`], naming the file.
#[expect(clippy::cast_precision_loss, reason = "a clip is far shorter than 2^53 ticks")]
pub fn frames_csv(path: &Path, writer: impl Write) -> Result<Vec<ClipWarning>, FramesError> {
    let file = || path.display().to_string();
    let mut source = FileSource::open(path).map_err(|reason| FramesError::Open { file: file(), reason })?;
    let clip = read_clip(&mut source).map_err(|reason| FramesError::Clip { file: file(), reason })?;
    let timescale = clip.table.timescale().ticks_per_second();
    let seconds = |ticks: i64| format!("{:.9}", ticks as f64 / f64::from(timescale));

    let mut table = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(writer);
    table.write_record(COLUMNS)?;
    for (number, frame) in clip.table.frames().iter().enumerate() {
        table.write_record([
            number.to_string(),
            frame.presentation.0.to_string(),
            timescale.to_string(),
            seconds(frame.presentation.0),
            seconds(frame.duration),
            frame.keyframe.to_string(),
        ])?;
    }
    table.flush().map_err(csv::Error::from)?;
    Ok(clip.warnings)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn clip(name: &str) -> std::path::PathBuf {
        Path::new(env!("CARGO_MANIFEST_DIR"))
            .join("../../tests/clips")
            .join(name)
    }

    #[test]
    fn the_table_is_in_presentation_order_with_ticks_and_seconds() {
        let mut written = Vec::new();
        assert_eq!(frames_csv(&clip("ntsc_29_97.mp4"), &mut written).unwrap(), []);
        let text = String::from_utf8(written).unwrap();
        let lines: Vec<&str> = text.split("\r\n").collect();
        assert_eq!(
            lines[0],
            "frame,presentation_ticks,timescale,presentation_s,duration_s,keyframe"
        );
        assert_eq!(lines[1], "0,0,30000,0.000000000,0.033366667,true");
        assert_eq!(lines[2], "1,1001,30000,0.033366667,0.033366667,false");
        assert_eq!(lines.len(), 1 + 90 + 1);
    }

    #[test]
    fn errors_name_the_file_and_what_to_do() {
        let error = frames_csv(&clip("audio_only.m4a"), Vec::new())
            .unwrap_err()
            .to_string();
        assert!(
            error.contains("audio_only.m4a: the file holds sound but no picture"),
            "{error}"
        );
        assert!(error.contains("Choose the file with the picture"), "{error}");
        let error = frames_csv(&clip("missing.mp4"), Vec::new())
            .unwrap_err()
            .to_string();
        assert!(error.contains("missing.mp4: No such file"), "{error}");
    }

    #[test]
    fn a_clip_that_is_cut_off_gives_its_frames_and_a_warning() {
        let mut written = Vec::new();
        let warnings = frames_csv(&clip("truncated.mp4"), &mut written).unwrap();
        assert!(matches!(warnings[..], [ClipWarning::Truncated { .. }]));
        assert!(written.len() > 500);
    }
}
