//! Codec strings as decoders want to hear them, from the configuration records of files.
//!
//! RFC 6381 and ISO/IEC 14496-15 (avc1, hvc1), the VP9 and AV1 bindings to ISO base media
//! (vp09.PP.LL.DD, av01.P.LLT.DD).

use std::fmt::Write;

/// From an AVC configuration record; `entry` is `avc1` or `avc3`.
pub(crate) fn avc(entry: &str, record: &[u8]) -> Option<String> {
    let [_, profile, compatibility, level, ..] = record else {
        return None;
    };
    Some(format!("{entry}.{profile:02X}{compatibility:02X}{level:02X}"))
}

/// From an HEVC configuration record; `entry` is `hvc1` or `hev1`.
pub(crate) fn hevc(entry: &str, record: &[u8]) -> Option<String> {
    let general: &[u8; 13] = record.get(..13)?.try_into().ok()?;
    let space = match general[1] >> 6 {
        0 => "",
        1 => "A",
        2 => "B",
        _ => "C",
    };
    let tier = if general[1] & 0x20 == 0 { 'L' } else { 'H' };
    let profile = general[1] & 0x1f;
    let compatibility = u32::from_be_bytes([general[2], general[3], general[4], general[5]]).reverse_bits();
    let level = general[12];
    let mut string = format!("{entry}.{space}{profile}.{compatibility:X}.{tier}{level}");
    let constraints = &general[6..12];
    let used = constraints
        .iter()
        .rposition(|byte| *byte != 0)
        .map_or(0, |last| last + 1);
    for byte in &constraints[..used] {
        // Writing to a string cannot fail.
        let _ = write!(string, ".{byte:X}");
    }
    Some(string)
}

/// From the `vpcC` box's record, version and flags included; `entry` is `vp08` or `vp09`.
pub(crate) fn vpx(entry: &str, record: &[u8]) -> Option<String> {
    let [_, _, _, _, profile, level, depth, ..] = record else {
        return None;
    };
    Some(format!("{entry}.{profile:02}.{level:02}.{:02}", depth >> 4))
}

/// VP9 without a record: the lowest level whose pictures and rate are large enough.
/// Luma picture sizes and sample rates of the levels: VP9 Levels, webmproject.org.
pub(crate) fn vp9_for(width: u32, height: u32, frames_per_s: f64, profile: u8, depth: u8) -> String {
    const LEVELS: [(u8, u64, f64); 14] = [
        (10, 36_864, 829_440.0),
        (11, 73_728, 2_764_800.0),
        (20, 122_880, 4_608_000.0),
        (21, 245_760, 9_216_000.0),
        (30, 552_960, 20_736_000.0),
        (31, 983_040, 36_864_000.0),
        (40, 2_228_224, 83_558_400.0),
        (41, 2_228_224, 160_432_128.0),
        (50, 8_912_896, 311_951_360.0),
        (51, 8_912_896, 588_251_136.0),
        (52, 8_912_896, 1_176_502_272.0),
        (60, 35_651_584, 1_176_502_272.0),
        (61, 35_651_584, 2_353_004_544.0),
        (62, 35_651_584, 4_706_009_088.0),
    ];
    let picture = u64::from(width) * u64::from(height);
    #[expect(
        clippy::cast_precision_loss,
        reason = "a picture has far fewer than 2^53 pixels"
    )]
    let rate = picture as f64 * frames_per_s;
    let fits = LEVELS.iter().find(|level| picture <= level.1 && rate <= level.2);
    let level = fits.map_or(62, |level| level.0);
    format!("vp09.{profile:02}.{level:02}.{depth:02}")
}

/// From an AV1 configuration record.
pub(crate) fn av1(record: &[u8]) -> Option<String> {
    let [marker, profile_and_level, rest, ..] = record else {
        return None;
    };
    if marker & 0x7f != 1 {
        return None;
    }
    let profile = profile_and_level >> 5;
    let level = profile_and_level & 0x1f;
    let tier = if rest & 0x80 == 0 { 'M' } else { 'H' };
    let depth = match (rest & 0x40 != 0, rest & 0x20 != 0) {
        (false, _) => 8,
        (true, true) if profile == 2 => 12,
        (true, _) => 10,
    };
    Some(format!("av01.{profile}.{level:02}{tier}.{depth:02}"))
}

/// From an `esds` box's record, version and flags included: `mp4v.20.9` and the like.
pub(crate) fn mpeg4(record: &[u8]) -> Option<String> {
    let mut at = record.get(4..)?;
    let mut kind = None;
    // Descriptors: a tag, a length of 1 to 4 bytes of 7 bits, the contents.
    loop {
        let (&tag, mut rest) = at.split_first()?;
        for _ in 0..4 {
            let (&length, after) = rest.split_first()?;
            rest = after;
            if length & 0x80 == 0 {
                break;
            }
        }
        match tag {
            3 => {
                let flags = *rest.get(2)?;
                let mut skip = 3;
                if flags & 0x80 != 0 {
                    skip += 2;
                }
                if flags & 0x40 != 0 {
                    skip += 1 + usize::from(*rest.get(skip)?);
                }
                if flags & 0x20 != 0 {
                    skip += 2;
                }
                at = rest.get(skip..)?;
            }
            4 => {
                kind = Some(*rest.first()?);
                at = rest.get(13..)?;
            }
            5 => {
                let kind = kind?;
                // Visual object sequence start, then profile and level.
                let profile = match rest {
                    [0, 0, 1, 0xb0, profile, ..] => format!(".{profile}"),
                    _ => String::new(),
                };
                return Some(format!("mp4v.{kind:02X}{profile}"));
            }
            _ => return kind.map(|kind| format!("mp4v.{kind:02X}")),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_standards_own_examples() {
        // RFC 6381, 3.3: baseline, level 3.0.
        assert_eq!(avc("avc1", &[1, 0x42, 0xe0, 0x1e]).unwrap(), "avc1.42E01E");
        // ISO/IEC 14496-15, E.3: main profile, progressive, level 3.1 (93), main tier.
        let record = [1, 0x01, 0x60, 0, 0, 0, 0xb0, 0, 0, 0, 0, 0, 93];
        assert_eq!(hevc("hev1", &record).unwrap(), "hev1.1.6.L93.B0");
        // AV1 binding, 5: main profile, level 3.0, main tier, 10 bits.
        assert_eq!(av1(&[0x81, 0x04, 0x40, 0]).unwrap(), "av01.0.04M.10");
        // VP9 binding: profile 2, level 1.0, 10 bits.
        assert_eq!(
            vpx("vp09", &[1, 0, 0, 0, 2, 10, 0xa0, 0]).unwrap(),
            "vp09.02.10.10"
        );
    }

    #[test]
    fn a_record_cut_short_gives_no_string() {
        assert_eq!(avc("avc1", &[1, 2]), None);
        assert_eq!(hevc("hvc1", &[1; 12]), None);
        assert_eq!(av1(&[]), None);
        assert_eq!(mpeg4(&[0, 0, 0, 0, 3, 0x80]), None);
    }

    #[test]
    fn vp9_levels_grow_with_picture_and_rate() {
        assert_eq!(vp9_for(320, 180, 30.0, 0, 8), "vp09.00.11.08");
        assert_eq!(vp9_for(1920, 1080, 60.0, 0, 8), "vp09.00.41.08");
    }
}
