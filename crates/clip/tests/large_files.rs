//! Opening a 4 GiB file reads under 16 MiB and allocates under 64 MiB, whatever its container: counted, on
//! made-up files that hold an index for 1,000 to 2,700 s of video and zeros for the rest. Where the index lies spread
//! over the file, the reader tells on the way how far it is.

#![allow(clippy::panic, clippy::unwrap_used, reason = "a test fails by panicking")]

#[path = "shared/large.rs"]
mod large;

use large::{SparseSource, fragmented_mp4, webm, whole_mp4};
use peak_alloc::PeakAlloc;
use wetframe_clip::{ByteSource, Reached, fingerprint, read_clip_telling};

#[global_allocator]
static ALLOCATED: PeakAlloc = PeakAlloc;

const MOST_READ: u64 = 16 << 20;
const MOST_ALLOCATED: usize = 64 << 20;

/// What is told is never more than a bar can show.
const MOST_TOLD: usize = 200;

fn check(name: &str, passes: u64, fewest_told: usize, (mut file, frames): (SparseSource, usize)) {
    let mut told: Vec<Reached> = Vec::with_capacity(MOST_TOLD + 1);
    let before = ALLOCATED.current_usage();
    ALLOCATED.reset_peak_usage();
    let clip = read_clip_telling(&mut file, &mut |reached| told.push(reached)).unwrap();
    let print = fingerprint(&mut file, &clip).unwrap();
    let peak = ALLOCATED.peak_usage() - before;
    assert_eq!(clip.table.frames().len(), frames, "{name}");
    assert_eq!(print.to_string().len(), 64);
    println!(
        "{name}: {} bytes read in {} reads, {peak} allocated at most",
        file.bytes_read, file.reads
    );
    assert!(
        file.bytes_read < MOST_READ,
        "{name}: {} bytes read",
        file.bytes_read
    );
    assert!(peak < MOST_ALLOCATED, "{name}: {peak} bytes allocated");
    assert!(
        (fewest_told..=MOST_TOLD).contains(&told.len()),
        "{name}: told {} times",
        told.len()
    );
    assert!(told.is_sorted_by(|one, next| one.done < next.done), "{name}");
    let of = passes * file.size();
    assert!(
        told.iter().all(|reached| reached.done <= of && reached.of == of),
        "{name}"
    );
}

/// One test, since tests of one process share the allocator.
#[test]
fn four_gibibytes_are_opened_within_bounds() {
    check("whole MP4, index last, 240,000 frames", 2, 0, whole_mp4());
    check("fragmented MP4, 120,000 frames", 2, 190, fragmented_mp4());
    check("WebM, 162,000 frames", 1, 190, webm());
}
