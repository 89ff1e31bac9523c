//! Names for files that cannot be read here, from their first bytes, so that the coach learns what was chosen.

/// The end of the sentence "this is not a video that can be read here: …".
pub(crate) fn looks_like(head: &[u8; 16]) -> &'static str {
    match head {
        [b'R', b'I', b'F', b'F', _, _, _, _, b'A', b'V', b'I', ..] => "it is an AVI file",
        [b'R', b'I', b'F', b'F', _, _, _, _, b'W', b'A', b'V', b'E', ..] => "it is a sound file (WAV)",
        [0x30, 0x26, 0xb2, 0x75, ..] => "it is a Windows Media file (WMV)",
        [0x47, _, _, flags, ..] if packet_flags(*flags) => "it is an MPEG transport stream (TS)",
        // M2TS puts four bytes of time before each packet.
        [_, _, _, _, 0x47, _, _, flags, ..] if packet_flags(*flags) => {
            "it is an MPEG transport stream (MTS, M2TS), as camcorders write it"
        }
        [0, 0, 1, 0xba, ..] => "it is an MPEG program stream (MPG, VOB)",
        [b'F', b'L', b'V', ..] => "it is a Flash video (FLV)",
        [b'O', b'g', b'g', b'S', ..] => "it is an Ogg file",
        _ if is_photograph(head) => "it is a photograph (HEIC or AVIF)",
        [0xff, 0xd8, 0xff, ..] => "it is a photograph (JPEG)",
        [0x89, b'P', b'N', b'G', ..] => "it is a picture (PNG)",
        [b'G', b'I', b'F', b'8', ..] => "it is a GIF",
        [b'I', b'D', b'3', ..] => "it is a sound file (MP3)",
        [b'%', b'P', b'D', b'F', ..] => "it is a PDF document",
        [b'P', b'K', 3, 4, ..] => "it is a ZIP archive; unpack it first",
        _ => "its first bytes belong to no video format known here",
    }
}

/// Whether a file of the MP4 family is a still picture, which phones keep beside their clips.
pub(crate) fn is_photograph(head: &[u8; 16]) -> bool {
    head[4..8] == *b"ftyp" && matches!(&head[8..12], b"heic" | b"heix" | b"mif1" | b"avif")
}

/// Whether a byte can be the fourth of a transport packet: not scrambled, with a payload or an adaptation.
fn packet_flags(byte: u8) -> bool {
    byte & 0xc0 == 0 && byte & 0x30 != 0
}

#[cfg(test)]
mod tests {
    use super::looks_like;

    #[test]
    fn common_wrong_choices_are_named() {
        assert_eq!(looks_like(b"RIFF\x10\x00\x00\x00AVI LIST"), "it is an AVI file");
        assert_eq!(
            looks_like(b"\xff\xd8\xff\xe0\0\x10JFIF\0\x01\x01\0\0\0"),
            "it is a photograph (JPEG)"
        );
        assert!(looks_like(b"G@\0\x10\0\0\xb0\r\0\x01\xc1\0\0\0\x01\xf0").contains("transport stream"));
        assert_eq!(
            looks_like(b"\0\0\0\x18ftypheic\0\0\0\0"),
            "it is a photograph (HEIC or AVIF)"
        );
        assert!(looks_like(b"Goggles, cap, to").starts_with("its first bytes"));
    }
}
