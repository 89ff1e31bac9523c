//! The frame table against the pictures themselves: each test clip's frames carry their own number as blocks
//! (`tests/clips/make.py`).
//!
//! FFmpeg decodes every picture of the file with the edit list ignored, so that neither its nor Chromium's
//! reading of edit lists takes part: the picture that stands at a frame's bytes has to show the number which
//! the clip was made to start with, and so on; and it has to be readable upright after our rotation.

#![allow(clippy::panic, clippy::unwrap_used, reason = "a test fails by panicking")]

mod shared;

use std::collections::HashMap;
use std::path::Path;

use shared::{listed, output_of};
use wetframe_clip::{Clip, Container, FileSource, read_clip};

const COLUMNS: usize = 8;
const ROWS: usize = 4;

/// The number a coded picture shows once it is turned clockwise; `None` if any block is unclear.
fn number_in(luma: &[u8], width: usize, height: usize, rotation_deg: u16) -> Option<u32> {
    let white = |column: usize, row: usize| {
        // In units of half a cell, so that all stays whole.
        let (x, x_end) = (2 * column + 1, 2 * COLUMNS);
        let (y, y_end) = (2 * row + 1, 2 * ROWS);
        let (across, across_end, down, down_end) = match rotation_deg {
            90 => (y, y_end, x_end - x, x_end),
            180 => (x_end - x, x_end, y_end - y, y_end),
            270 => (y_end - y, y_end, x, x_end),
            _ => (x, x_end, y, y_end),
        };
        luma[down * height / down_end * width + across * width / across_end] > 125
    };
    let mut number = 0;
    for row in 0..2 {
        for column in 0..COLUMNS {
            if white(column, row) == white(column, row + 2) {
                return None;
            }
            number = number << 1 | u32::from(white(column, row));
        }
    }
    Some(number)
}

/// The number of each picture of the file by the position of its bytes, and in presentation order.
fn numbers_in(path: &Path, clip: &Clip) -> (HashMap<u64, u32>, Vec<u32>) {
    let text = path.to_str().unwrap();
    let ignored: &[&str] = if clip.container == Container::Mp4 {
        &["-ignore_editlist", "1"]
    } else {
        &[]
    };
    let decode = [
        "-i",
        text,
        "-map",
        "0:v:0",
        "-fps_mode",
        "passthrough",
        "-f",
        "rawvideo",
        "-pix_fmt",
        "gray",
        "-",
    ];
    let decoded = output_of(
        "ffmpeg",
        &[&["-v", "quiet", "-noautorotate"][..], ignored, &decode[..]].concat(),
    );
    let probe = [
        "-select_streams",
        "v:0",
        "-show_entries",
        "frame=pkt_pos",
        "-of",
        "csv=p=0",
        text,
    ];
    let positions = output_of("ffprobe", &[&["-v", "quiet"][..], ignored, &probe[..]].concat());
    let positions = String::from_utf8(positions).unwrap();
    let positions = positions
        .lines()
        .filter_map(|line| line.trim_end_matches(',').parse().ok());

    let (width, height) = (clip.coded_width as usize, clip.coded_height as usize);
    let numbers: Vec<u32> = decoded
        .chunks_exact(width * height)
        .map(|luma| number_in(luma, width, height, clip.rotation_deg).unwrap_or(u32::MAX))
        .collect();
    (positions.zip(numbers.iter().copied()).collect(), numbers)
}

#[test]
fn every_frame_of_the_table_is_the_picture_that_it_says() {
    let mut cut = 0;
    for listed in listed()
        .iter()
        .filter(|clip| clip.opens() && clip.file() != "truncated.mp4")
    {
        let file = listed.file();
        let clip = read_clip(&mut FileSource::open(&listed.path()).unwrap()).unwrap();
        let (by_position, in_order) = numbers_in(&listed.path(), &clip);
        let found: Vec<u32> = match clip.container {
            Container::Mp4 => {
                let frames = clip.table.frames().iter();
                frames
                    .map(|frame| by_position.get(&frame.bytes.offset).copied().unwrap_or(u32::MAX))
                    .collect()
            }
            // ffprobe gives no byte positions of Matroska frames; their order tells.
            Container::Matroska => in_order.clone(),
        };
        assert_eq!(found, listed.numbers(), "{file}");
        assert_eq!(clip.table.frames().len(), found.len(), "{file}");
        cut += in_order.len() - found.len();
    }
    // The trimmed clips keep pictures in the file that they do not show.
    assert!(cut > 100, "only {cut} pictures were cut by edit lists");
}
