//! A clip chosen on the page, read by ranges inside a worker: its facts, and its table as typed arrays.
//!
//! Not for: decoding, or the bytes of frames; the worker reads those itself.

use clip::{
    ByteSource, Clip, ClipError, ClipWarning, DroppedFrames, PixelAspect, Reached, SourceError, Spacing,
};
use js_sys::Function;
use serde::Serialize;
use session::{Place, Severity, Trouble};
use time::FrameTimes;
use wasm_bindgen::prelude::wasm_bindgen;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{File, FileReaderSync};

use plain::{broken_promise, thrown, to_plain};

/// An open clip. Only in a worker: nowhere else can a file be read at once.
#[wasm_bindgen]
pub struct ClipReader {
    name: String,
    size_bytes: u64,
    fingerprint: String,
    clip: Clip,
}

#[wasm_bindgen]
impl ClipReader {
    /// Reads the clip's index. `on_progress(done, of)` is called on the way, in bytes, where the index lies spread over
    /// the file and reading it takes long.
    ///
    /// # Errors
    /// Throws a trouble that names the file, says what is wrong and at which byte, and what to do; and what
    /// `on_progress` throws.
    pub fn open(file: &File, on_progress: Option<Function>) -> Result<Self, JsValue> {
        let name = file.name();
        let mut source = FileRanges::new(file)?;
        let mut told = Ok(JsValue::UNDEFINED);
        let mut tell = |reached: Reached| {
            if let (Ok(_), Some(on_progress)) = (&told, &on_progress) {
                told = on_progress.call2(&JsValue::NULL, &number(reached.done), &number(reached.of));
            }
        };
        let opened = clip::read_clip_telling(&mut source, &mut tell)
            .and_then(|clip| clip::fingerprint(&mut source, &clip).map(|fingerprint| (clip, fingerprint)));
        let (clip, fingerprint) = opened.map_err(|error| thrown(&clip_trouble(&name, &error)))?;
        told?;
        Ok(Self {
            name,
            size_bytes: source.size(),
            fingerprint: fingerprint.to_string(),
            clip,
        })
    }

    /// What the page and the session need to know about the clip, as plain data.
    ///
    /// # Errors
    /// Throws a trouble when a time is beyond 2^53 ticks.
    pub fn facts(&self) -> Result<JsValue, JsValue> {
        let Clip { table, .. } = &self.clip;
        let most = session::limits::MOST_EXACT_INTEGER;
        let ends = [table.frame_times().first(), table.frame_times().end()];
        if ends.iter().any(|time| !(-most..=most).contains(&time.0)) {
            let what = format!("the clip {} has times beyond 2^53 ticks", self.name);
            return Err(broken_promise("value_not_plain", &what));
        }
        let facts = ClipFacts {
            name: &self.name,
            size_bytes: self.size_bytes,
            container: self.clip.container.name(),
            codec: &self.clip.codec.string,
            coded_width: self.clip.coded_width,
            coded_height: self.clip.coded_height,
            width: self.clip.upright_width(),
            height: self.clip.upright_height(),
            pixel_aspect: self.clip.pixel_aspect,
            rotation_deg: self.clip.rotation_deg,
            timescale: table.timescale().ticks_per_second(),
            frame_times: table.frame_times(),
            frame_count: table.frames().len(),
            spacing: table.spacing(),
            capture_rate_fps: self.clip.capture_rate_fps,
            suspected_dropped: table.suspected_dropped(),
            warnings: self
                .clip
                .warnings
                .iter()
                .map(|warning| clip_warning(&self.name, warning))
                .collect(),
            fingerprint: &self.fingerprint,
            has_audio: self.clip.has_audio,
        };
        to_plain(&facts)
    }

    /// The configuration record that a decoder needs beside the codec string.
    #[must_use]
    pub fn description(&self) -> Option<Vec<u8>> {
        self.clip.codec.description.clone()
    }

    /// First byte of each sample, decode order.
    #[must_use]
    #[expect(clippy::cast_precision_loss, reason = "no file is longer than 2^53 bytes")]
    pub fn sample_offsets(&self) -> Vec<f64> {
        self.clip
            .table
            .samples()
            .iter()
            .map(|sample| sample.bytes.offset as f64)
            .collect()
    }

    /// Length of each sample in bytes, decode order.
    #[must_use]
    pub fn sample_sizes(&self) -> Vec<u32> {
        self.clip
            .table
            .samples()
            .iter()
            .map(|sample| sample.bytes.size)
            .collect()
    }

    /// Presentation time of each sample in ticks, decode order.
    #[must_use]
    pub fn sample_presentations(&self) -> Vec<f64> {
        self.clip
            .table
            .samples()
            .iter()
            .map(|sample| exact(sample.presentation.0))
            .collect()
    }

    /// 1 for each sample at which decoding can start, decode order.
    #[must_use]
    pub fn sample_keyframes(&self) -> Vec<u8> {
        self.clip
            .table
            .samples()
            .iter()
            .map(|sample| u8::from(sample.keyframe))
            .collect()
    }

    /// The frame that each sample shows, −1 for samples that are needed for decoding only; decode order.
    #[must_use]
    pub fn sample_frames(&self) -> Vec<i32> {
        let frame_of = |frame: Option<u32>| frame.and_then(|frame| i32::try_from(frame).ok()).unwrap_or(-1);
        self.clip
            .table
            .samples()
            .iter()
            .map(|sample| frame_of(sample.frame))
            .collect()
    }

    /// When each frame appears, in ticks; presentation order.
    #[must_use]
    pub fn frame_presentations(&self) -> Vec<f64> {
        self.clip
            .table
            .frames()
            .iter()
            .map(|frame| exact(frame.presentation.0))
            .collect()
    }

    /// The sample of each frame, presentation order.
    #[must_use]
    pub fn frame_samples(&self) -> Vec<u32> {
        self.clip
            .table
            .frames()
            .iter()
            .map(|frame| frame.sample)
            .collect()
    }

    /// When the last frame ends, in ticks.
    #[must_use]
    pub fn end(&self) -> f64 {
        exact(self.clip.table.frame_times().end().0)
    }
}

/// A number of ticks as JavaScript has it: `facts` refuses those that would not be exact.
#[expect(
    clippy::cast_precision_loss,
    reason = "facts() refuses a clip with times beyond 2^53 ticks"
)]
fn exact(ticks: i64) -> f64 {
    ticks as f64
}

/// A number of bytes as JavaScript has it; a bar does not need those beyond 2^53 exact.
#[expect(clippy::cast_precision_loss, reason = "a share of the whole is shown")]
fn number(bytes: u64) -> JsValue {
    JsValue::from_f64(bytes as f64)
}

/// What crosses to the page once for each clip.
#[derive(Serialize)]
struct ClipFacts<'a> {
    name: &'a str,
    size_bytes: u64,
    container: &'static str,
    codec: &'a str,
    coded_width: u32,
    coded_height: u32,
    width: u32,
    height: u32,
    pixel_aspect: PixelAspect,
    rotation_deg: u16,
    timescale: u32,
    frame_times: &'a FrameTimes,
    frame_count: usize,
    spacing: Spacing,
    capture_rate_fps: Option<f64>,
    suspected_dropped: Vec<DroppedFrames>,
    warnings: Vec<Trouble>,
    fingerprint: &'a str,
    has_audio: bool,
}

/// What is wrong with a clip, with the file's name and the byte where it stopped.
fn clip_trouble(name: &str, error: &ClipError) -> Trouble {
    Trouble {
        kind: error.kind.name().to_owned(),
        message: format!("{name}: {error}."),
        hint: error.hint().to_owned(),
        severity: Severity::Error,
        place: Place {
            file: Some(name.to_owned()),
            byte: error.offset,
            ..Place::default()
        },
    }
}

fn clip_warning(name: &str, warning: &ClipWarning) -> Trouble {
    let data = serde_json::to_value(warning).unwrap_or_default();
    Trouble {
        kind: data["kind"].as_str().unwrap_or("clip_warning").to_owned(),
        message: format!("{name}: {warning}."),
        hint: String::new(),
        severity: Severity::Warning,
        place: Place {
            file: Some(name.to_owned()),
            ..Place::default()
        },
    }
}

/// A file's ranges, read at once through the worker's synchronous reader.
struct FileRanges {
    file: File,
    reader: FileReaderSync,
    size: u64,
}

impl FileRanges {
    fn new(file: &File) -> Result<Self, JsValue> {
        Ok(Self {
            file: file.clone(),
            reader: FileReaderSync::new()?,
            size: whole(file.size()),
        })
    }
}

impl ByteSource for FileRanges {
    fn size(&self) -> u64 {
        self.size
    }

    #[expect(clippy::cast_precision_loss, reason = "no file is longer than 2^53 bytes")]
    fn read_at(&mut self, offset: u64, buffer: &mut [u8]) -> Result<(), SourceError> {
        let length = buffer.len() as u64;
        let refused = |reason: String| SourceError {
            offset,
            length,
            reason,
        };
        let range = self
            .file
            .slice_with_f64_and_f64(offset as f64, offset.saturating_add(length) as f64)
            .and_then(|range| self.reader.read_as_array_buffer(&range))
            .map_err(|error| refused(reason_of(&error)))?;
        let bytes = js_sys::Uint8Array::new(&range);
        if u64::from(bytes.length()) != length {
            return Err(refused(format!("there are only {} bytes", bytes.length())));
        }
        bytes.copy_to(buffer);
        Ok(())
    }
}

/// What the browser said.
fn reason_of(error: &JsValue) -> String {
    error
        .dyn_ref::<js_sys::Error>()
        .map_or_else(|| format!("{error:?}"), |error| String::from(error.message()))
}

/// A file's size: a number that is whole, positive and below 2^53.
#[expect(
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "a file's size is such a number"
)]
fn whole(size: f64) -> u64 {
    size as u64
}
