//! Reads the files of `tests/reference/vision`.

#![allow(dead_code, reason = "each test file takes what it needs")]

use std::path::PathBuf;

use wetframe_vision::Luma;

fn path(name: &str) -> PathBuf {
    PathBuf::from(concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../../tests/reference/vision"
    ))
    .join(name)
}

/// Width, height and bytes of a binary PGM or PPM without comments.
pub fn pixels(name: &str) -> (usize, usize, Vec<u8>) {
    let bytes = std::fs::read(path(name)).unwrap();
    let mut fields = bytes.splitn(5, |byte| byte.is_ascii_whitespace());
    let mut field = || std::str::from_utf8(fields.next().unwrap()).unwrap().to_owned();
    let (kind, width, height, largest) = (field(), field(), field(), field());
    assert!(["P5", "P6"].contains(&kind.as_str()) && largest == "255");
    let pixels = fields.next().unwrap().to_vec();
    (width.parse().unwrap(), height.parse().unwrap(), pixels)
}

/// A PGM.
pub fn luma(name: &str) -> Luma<'static> {
    let (width, height, bytes) = pixels(name);
    Luma::new(bytes, width, height, width).unwrap()
}

/// A PPM with opacity put in.
pub fn rgba(name: &str) -> (usize, usize, Vec<u8>) {
    let (width, height, bytes) = pixels(name);
    let rgba = bytes
        .as_chunks::<3>()
        .0
        .iter()
        .flat_map(|[r, g, b]| [*r, *g, *b, 255]);
    (width, height, rgba.collect())
}

/// A CSV's rows below the comment and the names.
pub fn rows(name: &str) -> Vec<Vec<String>> {
    let text = std::fs::read_to_string(path(name)).unwrap();
    let lines = text.lines().filter(|line| !line.starts_with('#')).skip(1);
    lines
        .map(|line| line.split(',').map(str::to_owned).collect())
        .collect()
}

/// Fields `from..` of a row as numbers.
pub fn numbers(row: &[String], from: usize) -> Vec<f64> {
    row[from..].iter().map(|field| field.parse().unwrap()).collect()
}
