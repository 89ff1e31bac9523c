//! Marks that cannot be right, as warnings: they are in good order in the file and stay there.

use session::{ClipRecord, Document};
use stroke::Flag;

use crate::outcome::say;

/// Says of each clip which of its marks cannot be right, and on which frames.
pub(crate) fn warn(file: &str, document: &Document) {
    for clip in &document.clips {
        // A clip that has no clock has been refused when the file was read.
        for flag in clip.analyse().map(|analysis| analysis.flags).unwrap_or_default() {
            say(format_args!(
                "warning: “{file}”, clip “{}”, {}: {} {}",
                clip.title(),
                frames(clip, &flag),
                flag.message,
                flag.hint
            ));
        }
    }
}

fn frames(clip: &ClipRecord, flag: &Flag) -> String {
    let first = clip.frame_times.nearest_frame(flag.start);
    let last = clip.frame_times.nearest_frame(flag.end);
    if first == last {
        format!("frame {first}")
    } else {
        format!("frames {first} to {last}")
    }
}
