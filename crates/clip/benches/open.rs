//! What opening a file costs: bytes read and memory (4 GiB made-up files), then times.
//!
//! `cargo bench -p wetframe-clip`; times are for reading, never asserted. The bounds on bytes and memory are
//! asserted by `tests/large_files.rs`.

#![allow(clippy::unwrap_used, reason = "a benchmark stops where a test would fail")]

#[path = "../tests/shared/large.rs"]
mod large;

use divan::counter::BytesCount;
use divan::{AllocProfiler, Bencher, black_box};
use wetframe_clip::cadence::{Cadence, LumaPlane};
use wetframe_clip::{FileSource, fingerprint, read_clip};

/// Adds the largest memory in use and the number of allocations to each benchmark's lines.
#[global_allocator]
static ALLOCATED: AllocProfiler = AllocProfiler::system();

fn main() {
    for (name, (mut file, frames)) in [
        ("whole MP4, index last", large::whole_mp4()),
        ("fragmented MP4", large::fragmented_mp4()),
        ("WebM", large::webm()),
    ] {
        let clip = read_clip(&mut file).unwrap();
        assert_eq!(clip.table.frames().len(), frames);
        println!(
            "4 GiB {name}, {frames} frames: {:.2} MiB read in {} reads (limit 16 MiB)",
            f64::from(u32::try_from(file.bytes_read).unwrap()) / f64::from(1 << 20),
            file.reads
        );
    }
    divan::main();
}

fn open(bencher: Bencher<'_, '_>, (mut file, _): (large::SparseSource, usize)) {
    bencher.bench_local(|| read_clip(black_box(&mut file)).unwrap());
}

#[divan::bench(sample_count = 10)]
fn open_4_gib_whole_mp4(bencher: Bencher<'_, '_>) {
    open(bencher, large::whole_mp4());
}

#[divan::bench(sample_count = 10)]
fn open_4_gib_fragmented_mp4(bencher: Bencher<'_, '_>) {
    open(bencher, large::fragmented_mp4());
}

#[divan::bench(sample_count = 10)]
fn open_4_gib_webm(bencher: Bencher<'_, '_>) {
    open(bencher, large::webm());
}

#[divan::bench(args = ["b_frames.mp4", "bursts.webm"])]
fn open_and_fingerprint_a_short_clip(bencher: Bencher<'_, '_>, name: &str) {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/clips");
    let mut file = FileSource::open(&folder.join(name)).unwrap();
    bencher.bench_local(|| {
        let clip = read_clip(&mut file).unwrap();
        fingerprint(&mut file, &clip).unwrap()
    });
}

/// One 1920×1080 plane against the one before it.
#[divan::bench]
fn compare_1080p_planes(bencher: Bencher<'_, '_>) {
    let (width, height) = (1920, 1080);
    let planes: Vec<Vec<u8>> = (0..2_usize)
        .map(|shift| (0..width * height).map(|at| ((at + shift) % 251) as u8).collect())
        .collect();
    let mut cadence = Cadence::new();
    let mut frame = 0;
    bencher.counter(BytesCount::new(width * height)).bench_local(|| {
        let bytes = &planes[frame as usize % 2];
        let plane = LumaPlane {
            bytes,
            width,
            height,
            stride: width,
        };
        cadence.add(frame, plane).unwrap();
        frame += 1;
    });
}
