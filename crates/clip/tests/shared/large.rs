//! Made-up files of 4 GiB that exist only where something stands in them: zeros everywhere else.

#![allow(
    dead_code,
    clippy::cast_possible_truncation,
    clippy::unwrap_used,
    reason = "a maker of files of known, small numbers"
)]

use wetframe_clip::{ByteSource, SourceError};

pub const SIZE: u64 = 4 << 30;

/// A file of mostly zeros that counts what is read of it.
pub struct SparseSource {
    size: u64,
    bytes: Vec<u8>,
    /// `(offset in the file, start in bytes, length)`, by offset.
    pieces: Vec<(u64, usize, usize)>,
    pub bytes_read: u64,
    pub reads: u64,
}

impl SparseSource {
    fn new(size: u64) -> Self {
        Self {
            size,
            bytes: Vec::new(),
            pieces: Vec::new(),
            bytes_read: 0,
            reads: 0,
        }
    }

    /// Pieces are put in order and do not overlap.
    fn put(&mut self, offset: u64, bytes: &[u8]) {
        self.pieces.push((offset, self.bytes.len(), bytes.len()));
        self.bytes.extend_from_slice(bytes);
    }
}

impl ByteSource for SparseSource {
    fn size(&self) -> u64 {
        self.size
    }

    fn read_at(&mut self, offset: u64, buffer: &mut [u8]) -> Result<(), SourceError> {
        let end = offset + buffer.len() as u64;
        assert!(end <= self.size, "read beyond the end: {end}");
        self.bytes_read += buffer.len() as u64;
        self.reads += 1;
        buffer.fill(0);
        let first = self
            .pieces
            .partition_point(|piece| piece.0 + piece.2 as u64 <= offset);
        for (at, start, length) in &self.pieces[first..] {
            if *at >= end {
                break;
            }
            let from = offset.max(*at);
            let to = end.min(at + *length as u64);
            let (into, out_of) = ((from - offset) as usize, start + (from - at) as usize);
            let count = (to - from) as usize;
            buffer[into..into + count].copy_from_slice(&self.bytes[out_of..out_of + count]);
        }
        Ok(())
    }
}

fn boxed(kind: &[u8; 4], parts: &[&[u8]]) -> Vec<u8> {
    let size: usize = 8 + parts.iter().map(|part| part.len()).sum::<usize>();
    let mut made = (size as u32).to_be_bytes().to_vec();
    made.extend_from_slice(kind);
    parts.iter().for_each(|part| made.extend_from_slice(part));
    made
}

fn words(words: &[u32]) -> Vec<u8> {
    words.iter().flat_map(|word| word.to_be_bytes()).collect()
}

/// A box of version and flags, a count, and entries.
fn listing(kind: &[u8; 4], count: usize, entries: &[u8]) -> Vec<u8> {
    boxed(kind, &[&words(&[0, count as u32]), entries])
}

fn movie(timescale: u32, tables: &[&[u8]], extends: &[u8], edits: &[u8]) -> Vec<u8> {
    let matrix = words(&[1 << 16, 0, 0, 0, 1 << 16, 0, 0, 0, 1 << 30]);
    let mvhd = boxed(
        b"mvhd",
        &[&words(&[0, 0, 0, timescale, 0, 0, 0, 0, 0]), &matrix, &[0; 28]],
    );
    let tkhd = boxed(
        b"tkhd",
        &[
            &words(&[3, 0, 0, 1, 0, 0, 0, 0, 0, 0]),
            &matrix,
            &words(&[1920 << 16, 1080 << 16]),
        ],
    );
    let mdhd = boxed(b"mdhd", &[&words(&[0, 0, 0, timescale, 0, 0])]);
    let hdlr = boxed(b"hdlr", &[&words(&[0, 0]), b"vide", &[0; 13]]);
    let avcc = boxed(b"avcC", &[&[1, 0x64, 0, 0x2a, 0xff, 0xe0, 0]]);
    let mut fixed = [0; 78];
    fixed[7] = 1;
    fixed[24..28].copy_from_slice(&[7, 0x80, 4, 0x38]);
    let stsd = listing(b"stsd", 1, &boxed(b"avc1", &[&fixed, &avcc]));
    let stbl = boxed(b"stbl", &[&[&stsd[..]], tables].concat());
    let minf = boxed(b"minf", &[&stbl]);
    let mdia = boxed(b"mdia", &[&mdhd, &hdlr, &minf]);
    let trak = boxed(b"trak", &[&tkhd, edits, &mdia]);
    boxed(b"moov", &[&mvhd, &trak, extends])
}

/// 1,000 s at 240 frames/s with B-frames and an edit list, the index behind the data.
pub fn whole_mp4() -> (SparseSource, usize) {
    const FRAMES: usize = 240_000;
    const FRAME_SIZE: u64 = SIZE / FRAMES as u64 - 64;
    let mut file = SparseSource::new(SIZE);
    let ftyp = boxed(b"ftyp", &[b"isom", &[0; 4]]);
    file.put(0, &ftyp);
    let data_at = ftyp.len() as u64;
    let data_size = 16 + FRAMES as u64 * FRAME_SIZE;
    file.put(
        data_at,
        &[&words(&[1])[..], b"mdat", &data_size.to_be_bytes()].concat(),
    );
    let sizes: Vec<u8> = (0..FRAMES)
        .flat_map(|_| (FRAME_SIZE as u32).to_be_bytes())
        .collect();
    let stsz = boxed(b"stsz", &[&words(&[0, 0, FRAMES as u32]), &sizes]);
    let stts = listing(b"stts", 1, &words(&[FRAMES as u32, 1]));
    let offsets: Vec<u32> = (0..FRAMES as u32)
        .flat_map(|frame| [1, [1, 3, 0, 0][frame as usize % 4]])
        .collect();
    let ctts = listing(b"ctts", FRAMES, &words(&offsets));
    let stsc = listing(b"stsc", 1, &words(&[1, 30, 1]));
    let chunks =
        (0..FRAMES as u64 / 30).flat_map(|chunk| (data_at + 16 + chunk * 30 * FRAME_SIZE).to_be_bytes());
    let co64 = listing(b"co64", FRAMES / 30, &chunks.collect::<Vec<_>>());
    let keyframes: Vec<u32> = (0..FRAMES as u32).step_by(240).map(|frame| frame + 1).collect();
    let stss = listing(b"stss", keyframes.len(), &words(&keyframes));
    let edits = boxed(
        b"edts",
        &[&listing(b"elst", 1, &words(&[FRAMES as u32, 1, 1 << 16]))],
    );
    let moov = movie(240, &[&stsz, &stts, &ctts, &stsc, &co64, &stss], &[], &edits);
    let at = data_at + data_size;
    file.put(at, &moov);
    let left = SIZE - at - moov.len() as u64;
    file.put(
        at + moov.len() as u64,
        &[&words(&[left as u32])[..], b"free"].concat(),
    );
    (file, FRAMES)
}

/// 2,000 s at 60 frames/s in fragments of half a second.
pub fn fragmented_mp4() -> (SparseSource, usize) {
    const FRAGMENTS: usize = 4000;
    const PER_FRAGMENT: usize = 30;
    const FRAGMENT_SIZE: u64 = SIZE / FRAGMENTS as u64 - 16;
    let mut file = SparseSource::new(SIZE);
    let empty = |kind: &[u8; 4]| listing(kind, 0, &[]);
    let stsz = boxed(b"stsz", &[&words(&[0, 0, 0])]);
    let trex = boxed(b"trex", &[&words(&[0, 1, 1, 1, 0, 0x0101_0000])]);
    let moov = movie(
        60,
        &[&empty(b"stts"), &empty(b"stsc"), &stsz, &empty(b"stco")],
        &boxed(b"mvex", &[&trex]),
        &[],
    );
    let ftyp = boxed(b"ftyp", &[b"iso5", &[0; 4]]);
    file.put(0, &[ftyp, moov].concat());
    let mut at = file.bytes.len() as u64;
    for fragment in 0..FRAGMENTS {
        let frame_size = (FRAGMENT_SIZE - 4096) / PER_FRAGMENT as u64;
        let sizes: Vec<u32> = (0..PER_FRAGMENT).flat_map(|_| [frame_size as u32, 0]).collect();
        let moof_size = 8 + 16 + 8 + 16 + 20 + (24 + 8 * PER_FRAGMENT as u32);
        let tfhd = boxed(b"tfhd", &[&words(&[0x02_0000, 1])]);
        let tfdt = boxed(
            b"tfdt",
            &[&words(&[1 << 24, 0, (fragment * PER_FRAGMENT) as u32])],
        );
        let trun = boxed(
            b"trun",
            &[
                &words(&[0xa05, PER_FRAGMENT as u32, moof_size + 8, 0x0200_0000]),
                &words(&sizes),
            ],
        );
        let traf = boxed(b"traf", &[&tfhd, &tfdt, &trun]);
        let moof = boxed(
            b"moof",
            &[&boxed(b"mfhd", &[&words(&[0, fragment as u32 + 1])]), &traf],
        );
        let last = fragment + 1 == FRAGMENTS;
        let end = if last { SIZE } else { at + FRAGMENT_SIZE };
        let data_size = (end - at - moof.len() as u64) as u32;
        file.put(at, &[&moof[..], &data_size.to_be_bytes(), b"mdat"].concat());
        at = end;
    }
    (file, FRAGMENTS * PER_FRAGMENT)
}

fn element(id: &[u8], contents: &[u8]) -> Vec<u8> {
    [id, &(1 << 56 | contents.len() as u64).to_be_bytes(), contents].concat()
}

/// 2,700 s at 60 frames/s beside sound in 20 ms blocks, clusters of a second, live (unknown sizes).
pub fn webm() -> (SparseSource, usize) {
    const SECONDS: u64 = 2700;
    let mut file = SparseSource::new(SIZE);
    let unknown = [0x01, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff, 0xff];
    let video = [element(&[0xb0], &[7, 0x80]), element(&[0xba], &[4, 0x38])].concat();
    let track = |number: u8, kind: u8, codec: &[u8], more: &[u8]| {
        let parts = [
            element(&[0xd7], &[number]),
            element(&[0x83], &[kind]),
            element(&[0x86], codec),
            more.to_vec(),
        ];
        element(&[0xae], &parts.concat())
    };
    let tracks = [
        track(1, 1, b"V_VP9", &element(&[0xe0], &video)),
        track(2, 2, b"A_OPUS", &[]),
    ];
    let head = [
        element(&[0x1a, 0x45, 0xdf, 0xa3], &element(&[0x42, 0x82], b"webm")),
        [&[0x18, 0x53, 0x80, 0x67][..], &unknown].concat(),
        element(
            &[0x15, 0x49, 0xa9, 0x66],
            &element(&[0x2a, 0xd7, 0xb1], &[0x0f, 0x42, 0x40]),
        ),
        element(&[0x16, 0x54, 0xae, 0x6b], &tracks.concat()),
    ]
    .concat();
    file.put(0, &head);
    let mut at = head.len() as u64;
    const PICTURES: u64 = 60;
    const SOUNDS: u64 = 50;
    const SOUND_SIZE: u64 = 300;
    // A cluster's header and time take 22 bytes, a block's header 9 before its contents.
    let picture_size = (SIZE / SECONDS - 64 - SOUNDS * (9 + SOUND_SIZE)) / PICTURES - 9;
    for second in 0..SECONDS {
        let time = element(&[0xe7], &(second * 1000).to_be_bytes());
        let cluster = [&[0x1f, 0x43, 0xb6, 0x75][..], &unknown, &time].concat();
        file.put(at, &cluster);
        at += cluster.len() as u64;
        for picture in 0..PICTURES {
            let sounds = if picture < SOUNDS { 1 } else { 0 };
            let blocks = [(1, picture_size, picture * 1000 / PICTURES)];
            let sounds = (0..sounds).map(|_| (2, SOUND_SIZE, picture * 20));
            for (track, size, time) in blocks.into_iter().chain(sounds) {
                let flags = if picture == 0 || track == 2 { 0x80 } else { 0 };
                let [high, low] = (time as u16).to_be_bytes();
                let head = [
                    &[0xa3][..],
                    &(1_u64 << 56 | size).to_be_bytes(),
                    &[0x80 | track, high, low, flags],
                ];
                file.put(at, &head.concat());
                at += 9 + size;
            }
        }
    }
    file.size = at;
    (file, (SECONDS * PICTURES) as usize)
}
