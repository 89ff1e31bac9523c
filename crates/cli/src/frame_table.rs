//! `wetframe frames`: the exit code and the messages around the table.

use std::io::{BufWriter, stdout};
use std::path::Path;

use clip::ClipErrorKind;

use crate::frames::{FramesError, frames_csv};
use crate::outcome::{Stop, say};

pub(crate) fn run(clip: &Path) -> Result<(), Stop> {
    match frames_csv(clip, BufWriter::new(stdout().lock())) {
        Ok(warnings) => {
            for warning in warnings {
                say(format_args!("warning: “{}”: {warning}", clip.display()));
            }
            Ok(())
        }
        Err(FramesError::Write(error)) => Err(match error.into_kind() {
            csv::ErrorKind::Io(error) => Stop::of_output(&error),
            other => {
                say(format_args!("error: the table cannot be written: {other:?}"));
                Stop::CannotWrite
            }
        }),
        Err(error) => {
            say(format_args!("error: {error}"));
            match error {
                FramesError::Clip { reason, .. } if !matches!(reason.kind, ClipErrorKind::Source(_)) => {
                    Err(Stop::Problems)
                }
                _ => Err(Stop::CannotRead),
            }
        }
    }
}
