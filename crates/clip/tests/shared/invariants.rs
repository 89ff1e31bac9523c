//! What holds for whatever bytes are opened: no panic, no endless loop, and a table that hangs together.
//! Used by the property tests and by the fuzz target.

use wetframe_clip::{ClipErrorKind, MemorySource, fingerprint, read_clip};

/// Opens `bytes`; on success checks the table.
pub fn open(bytes: &[u8]) {
    let mut source = MemorySource(bytes);
    let clip = match read_clip(&mut source) {
        Ok(clip) => clip,
        Err(error) => {
            assert!(
                !matches!(error.kind, ClipErrorKind::Source(_)),
                "read beyond the end: {error}"
            );
            assert!(!error.to_string().is_empty() && !error.hint().is_empty());
            return;
        }
    };
    let size = bytes.len() as u64;
    let (frames, samples) = (clip.table.frames(), clip.table.samples());
    assert!(!frames.is_empty() && frames.len() <= samples.len());
    assert!(
        frames
            .windows(2)
            .all(|pair| pair[0].presentation < pair[1].presentation)
    );
    for (number, frame) in frames.iter().enumerate() {
        let sample = samples[frame.sample as usize];
        assert_eq!(sample.frame.map(|own| own as usize), Some(number));
        assert_eq!(
            (sample.presentation, sample.keyframe),
            (frame.presentation, frame.keyframe)
        );
        assert_eq!(sample.bytes, frame.bytes);
        assert!(frame.duration > 0);
    }
    for sample in samples {
        assert!(sample.bytes.size > 0 && sample.bytes.end() <= size);
    }
    let spacing = clip.table.spacing();
    assert!(0 < spacing.minimum && spacing.minimum <= spacing.median && spacing.median <= spacing.maximum);
    assert_eq!(clip.table.frame_times().len(), frames.len());
    assert!(clip.table.suspected_dropped().len() < frames.len());
    assert!([0, 90, 180, 270].contains(&clip.rotation_deg));
    assert!(
        clip.capture_rate_fps
            .is_none_or(|rate| rate > 0.0 && rate.is_finite())
    );
    assert!(fingerprint(&mut source, &clip).is_ok());
    let _ = clip.warnings.iter().map(ToString::to_string).collect::<String>();
}
