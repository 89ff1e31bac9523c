#!/usr/bin/env python3
"""Makes the test clips of this folder and `clips.json`, which lists them with their facts.

    python3 tests/clips/make.py            # needs ffmpeg with libx264, libx265, libvpx, libaom

Every frame carries its own number as black and white blocks. The UPRIGHT picture (after the clip's rotation
is applied) is a grid of 8 columns by 4 rows that fills it:

    row 0   bits 15..8 of the number, most significant first, white = 1
    row 1   bits  7..0
    row 2   complement of row 0
    row 3   complement of row 1

so cell (column, row) is read at ((column + 0.5) / 8 * width, (row + 0.5) / 4 * height), and a picture is
valid only if every bit and its complement differ. Numbers count the frames as they were encoded, from 0; a
clip whose edit list cuts the first 31 starts at number 31. In clips.json the numbers shown run on from
`first_number` for `frames` frames, except where `numbers` lists them (a truncated clip, a clip with copied frames).

Same ffmpeg, same bytes: one thread, bit-exact flags, no dates. The committed clips were made by Debian's
ffmpeg 5.1.9. Where ffmpeg cannot write what is wanted (a trim on a given tick, float metadata), the box is
patched here, and `made` says so. Variable spacing needs `settb` and `-fps_mode passthrough`: without them
ffmpeg 5.1 silently flattens it.
"""
import json
import pathlib
import struct
import subprocess

HERE = pathlib.Path(__file__).resolve().parent
COLUMNS, ROWS = 8, 4
CLIPS = []

H264 = "-c:v libx264 -preset medium -crf 32 -pix_fmt yuv420p -threads 1 -x264-params scenecut=0:threads=1"
NO_B = H264 + " -bf 0 -g 30"
WITH_B = H264 + ":b-adapt=0 -bf 2 -g 30"
HEVC = "-c:v libx265 -preset fast -crf 34 -pix_fmt yuv420p -x265-params pools=none:frame-threads=1:keyint=30:b-adapt=0:log-level=error -tag:v hvc1"
VP8 = "-c:v libvpx -b:v 300k -deadline good -cpu-used 4 -threads 1 -g 30 -auto-alt-ref 1 -lag-in-frames 10"
VP9 = "-c:v libvpx-vp9 -crf 45 -b:v 0 -deadline good -cpu-used 4 -threads 1 -g 30 -row-mt 0"
AV1 = "-c:v libaom-av1 -crf 50 -b:v 0 -cpu-used 8 -threads 1 -g 30 -row-mt 0"


def upright_rows(number, width, height):
    """The upright picture of one number as rows of luma."""
    grid = []
    for row in range(ROWS):
        byte = (number >> 8) & 255 if row % 2 == 0 else number & 255
        if row >= 2:
            byte ^= 255
        cells = [235 if byte >> (7 - column) & 1 else 16 for column in range(COLUMNS)]
        grid.append(bytes(cells[x * COLUMNS // width] for x in range(width)))
    return [grid[y * ROWS // height] for y in range(height)]


def turned_counter_clockwise(rows, quarter_turns):
    """What a camera held on its side would have stored, so that turning it back clockwise is upright."""
    for _ in range(quarter_turns):
        width = len(rows[0])
        rows = [bytes(row[x] for row in rows) for x in range(width - 1, -1, -1)]
    return rows


def raw_frames(numbers, rotation_deg, coded=(320, 180)):
    upright = coded if rotation_deg % 180 == 0 else coded[::-1]
    grey = bytes([128]) * (coded[0] * coded[1] // 2)
    frames = []
    for number in numbers:
        rows = turned_counter_clockwise(upright_rows(number, *upright), rotation_deg // 90)
        frames.append(b"".join(rows) + grey)
    return b"".join(frames)


def starts_expression(spacings, unit):
    """A setpts expression for frames whose spacings, in `unit` ticks, repeat."""
    starts = [sum(spacings[:index]) * unit for index in range(len(spacings))]
    lookup = "0"
    for index, start in reversed(list(enumerate(starts))):
        lookup = f"if(eq(mod(N\\,{len(spacings)})\\,{index})\\,{start}\\,{lookup})"
    return f"floor(N/{len(spacings)})*{sum(spacings) * unit}+{lookup}"


def ffmpeg(file, count, rate, encoder, muxer="", rotation_deg=0, spacings=None, tick=90000, audio="", video_filter="",
           numbers=None):
    """Encodes `count` numbered frames. `spacings`: ms between frames, repeated; else constant `rate`."""
    command = ["ffmpeg", "-hide_banner", "-loglevel", "error", "-y", "-f", "rawvideo", "-pix_fmt", "yuv420p",
               "-s", "320x180", "-r", rate, "-i", "pipe:0"]
    command += audio.split()
    if spacings:
        command += ["-vf", f"settb=1/{tick},setpts={starts_expression(spacings, tick // 1000)}",
                    "-fps_mode", "passthrough", "-enc_time_base", f"1:{tick}"]
        if not file.endswith((".webm", ".mkv")):
            command += ["-video_track_timescale", str(tick)]
    elif video_filter:
        command += ["-vf", video_filter, "-fps_mode", "passthrough"]
    command += encoder.split() + muxer.split()
    command += ["-map_metadata", "-1", "-fflags", "+bitexact", "-flags:v", "+bitexact", str(HERE / file)]
    subprocess.run(command, input=raw_frames(numbers or range(count), rotation_deg), check=True)
    words = " ".join(word for word in command if word not in ("-hide_banner", "-loglevel", "error", "-y"))
    words = words.replace(str(HERE) + "/", "")
    if rotation_deg:
        write_rotation(file, rotation_deg)
        words += "; then the track's matrix set to the rotation"
    return words


def listed(file, kind, frames, made, first_number=0, rotation_deg=0, opens=True, **facts):
    entry = {"file": file, "kind": kind, "opens": opens, "frames": frames, "first_number": first_number,
             "rotation_deg": rotation_deg}
    if opens:
        entry.update(coded_width=320, coded_height=180)
    entry.update(facts)
    entry["bytes"] = (HERE / file).stat().st_size
    entry["made"] = made
    CLIPS.append(entry)
    print(f"{entry['bytes']:8} {file}")


def encoded(file, kind, count, rate, encoder, muxer="", **options):
    facts = {key: options.pop(key) for key in ("codec", "fragmented", "variable", "b_frames", "has_audio",
                                               "capture_rate_fps", "duplicated_frames") if key in options}
    if "numbers" in options:
        facts["numbers"] = options["numbers"]
    rotation_deg = options.get("rotation_deg", 0)
    facts.setdefault("b_frames", encoder.startswith(WITH_B))
    facts.setdefault("variable", "spacings" in options)
    made = ffmpeg(file, count, rate, encoder, muxer, **options)
    listed(file, kind, count, made, rotation_deg=rotation_deg, **facts)
    return made


def box_at(data, *path):
    """Start of the first box at `path`; its size and type stand there."""
    at, end = 0, len(data)
    for depth, kind in enumerate(path):
        while data[at + 4:at + 8] != kind:
            at += struct.unpack(">I", data[at:at + 4])[0]
            if at >= end:
                raise SystemExit(f"no box {kind} in {path}")
        if depth + 1 < len(path):
            end = at + struct.unpack(">I", data[at:at + 4])[0]
            at += 8
    return at


def write_rotation(file, rotation_deg, width=320, height=180):
    """Sets the track header's matrix (16.16 fixed point) so that players turn the picture clockwise."""
    data = bytearray((HERE / file).read_bytes())
    at = box_at(data, b"moov", b"trak", b"tkhd")
    one = 1 << 16
    a, b, c, d, x, y = {90: (0, one, -one, 0, height, 0), 180: (-one, 0, 0, -one, width, height),
                        270: (0, -one, one, 0, 0, width)}[rotation_deg]
    struct.pack_into(">9i", data, at + 48, a, b, 0, c, d, 0, x * one, y * one, 1 << 30)
    (HERE / file).write_bytes(data)


def with_edit_list(source, file, edits):
    """`source` with the entries of its (version 0) edit list replaced; their number must stay."""
    data = bytearray((HERE / source).read_bytes())
    at = box_at(data, b"moov", b"trak", b"edts", b"elst")
    count = struct.unpack(">I", data[at + 12:at + 16])[0]
    assert data[at + 8] == 0 and count == len(edits), (data[at + 8], count)
    for index, (duration, media_time) in enumerate(edits):
        struct.pack_into(">Ii", data, at + 16 + 12 * index, duration, media_time)
    (HERE / file).write_bytes(data)


BURSTS = [4, 4, 4, 120, 8, 33, 4, 50, 17, 4, 4, 90, 33, 33, 5]
UNEVEN = [33, 34, 20, 47, 33, 66, 33, 16, 17, 40]

# Constant rates.
encoded("constant_30.mp4", "constant 30 frames/s", 90, "30", NO_B, codec="h264")
encoded("constant_60.mp4", "constant 60 frames/s", 120, "60", NO_B, codec="h264")
encoded("constant_120.mp4", "constant 120 frames/s", 150, "120", NO_B, codec="h264")
encoded("constant_240.mp4", "constant 240 frames/s", 180, "240", NO_B, codec="h264")
encoded("ntsc_29_97.mp4", "29.97 frames/s", 90, "30000/1001", NO_B, codec="h264")
encoded("ntsc_59_94.mp4", "59.94 frames/s", 120, "60000/1001", NO_B, codec="h264")

# Spacing that varies.
encoded("variable.mp4", "variable spacing", 100, "30", NO_B, codec="h264", spacings=UNEVEN)
encoded("variable_b_frames.mp4", "variable spacing, B-frames", 100, "30", WITH_B, codec="h264", spacings=UNEVEN)
encoded("variable.webm", "variable spacing, VP9", 100, "30", VP9, codec="vp9", spacings=UNEVEN)
encoded("bursts.mp4", "bursts of 4 to 120 ms spacing", 120, "30", NO_B, codec="h264", spacings=BURSTS)
encoded("bursts_b_frames.mp4", "bursts of 4 to 120 ms spacing, B-frames", 120, "30", WITH_B, codec="h264", spacings=BURSTS)
encoded("bursts.webm", "bursts of 4 to 120 ms spacing, VP9", 120, "30", VP9, codec="vp9", spacings=BURSTS)
encoded("bursts_vp8.webm", "bursts of 4 to 120 ms spacing, VP8", 120, "30", VP8, codec="vp8", spacings=BURSTS)

# How the index is laid.
encoded("b_frames.mp4", "B-frames; their delay is undone by an edit list", 90, "30", WITH_B, codec="h264")
encoded("moov_first.mp4", "index before the data", 90, "30", WITH_B, "-movflags +faststart", codec="h264")
encoded("negative_composition.mp4", "B-frames with negative composition offsets", 90, "30", WITH_B,
        "-movflags +negative_cts_offsets", codec="h264")
encoded("timescale_600.mov", "MOV with 600 ticks a second", 90, "30", WITH_B, "-video_track_timescale 600", codec="h264")
encoded("fragmented.mp4", "fragmented", 90, "30", NO_B, "-movflags +frag_keyframe+empty_moov+default_base_moof",
        codec="h264", fragmented=True)
encoded("fragmented_b_frames.mp4", "fragmented, B-frames, no edit list", 150, "30", WITH_B,
        "-movflags +frag_keyframe+empty_moov+default_base_moof", codec="h264", fragmented=True)
encoded("fragmented_edit_list.mp4", "fragmented, B-frames, edit list in the index", 90, "30", WITH_B,
        "-movflags +frag_keyframe+delay_moov", codec="h264", fragmented=True)
encoded("fragmented_negative.mp4", "fragmented, B-frames with negative composition offsets", 90, "30", WITH_B,
        "-movflags +frag_keyframe+delay_moov+negative_cts_offsets", codec="h264", fragmented=True)
encoded("fragmented_later_start.mp4", "fragmented, first fragment at 2 s", 60, "30", NO_B,
        "-movflags +frag_keyframe+empty_moov+default_base_moof -output_ts_offset 2", codec="h264", fragmented=True)
encoded("fragmented_after_index.mp4", "some frames in the index, the rest in fragments", 90, "30", NO_B,
        "-movflags +frag_keyframe", codec="h264", fragmented=True)

# Where the presentation starts.
encoded("delayed_start.mp4", "edit list with an empty edit: starts at 0.5 s", 60, "30", WITH_B,
        "-output_ts_offset 0.5", codec="h264")
encoded("later_start.mp4", "no edit list: the first frame starts at two frames", 60, "30", WITH_B,
        "-use_editlist 0", codec="h264")
encoded("later_start.webm", "starts at 1 s", 60, "30", VP9, "-output_ts_offset 1", codec="vp9")

trimmed = encoded("trimmed_source.mp4", "source of the trimmed clips", 120, "30", NO_B, codec="h264")
CLIPS.pop()
with_edit_list("trimmed_source.mp4", "trimmed.mp4", [(2967, 31 * 512)])
listed("trimmed.mp4", "edit list cuts frames 0 to 30, which stay in the file", 89,
       trimmed + "; then the edit list's media time set to frame 31's", first_number=31, codec="h264", b_frames=False, variable=False)
with_edit_list("trimmed_source.mp4", "trimmed_both_ends.mp4", [(1500, 31 * 512)])
listed("trimmed_both_ends.mp4", "edit list cuts frames 0 to 30 and 76 to 119", 45,
       trimmed + "; then the edit list set to 1.5 s from frame 31", first_number=31, codec="h264", b_frames=False, variable=False)
trimmed = encoded("trimmed_source.mp4", "source of the trimmed clips", 120, "30", WITH_B, codec="h264")
CLIPS.pop()
with_edit_list("trimmed_source.mp4", "trimmed_b_frames.mp4", [(2967, 1024 + 31 * 512 - 51)])
listed("trimmed_b_frames.mp4", "edit list cuts frames 0 to 30, B-frames, and starts 3.3 ms before a frame", 89,
       trimmed + "; then the edit list's media time set to 51 ticks before frame 31", first_number=31, codec="h264", b_frames=True, variable=False)
(HERE / "trimmed_source.mp4").unlink()

# Turned pictures.
for rotation in (90, 180, 270):
    encoded(f"rotated_{rotation}.mp4", f"to be shown turned {rotation} degrees clockwise", 60, "30", NO_B,
            codec="h264", rotation_deg=rotation)

# Other codecs and containers.
encoded("h264.mkv", "Matroska, H.264, B-frames", 90, "30", WITH_B, codec="h264")
encoded("live.webm", "WebM written live: unknown sizes, no index, VP8", 90, "30", VP8, "-live 1", codec="vp8")
encoded("hevc.mp4", "HEVC", 60, "30", HEVC, codec="hevc", b_frames=True)
encoded("av1.mp4", "AV1", 60, "30", AV1, codec="av1")
encoded("av1.webm", "AV1", 60, "30", AV1, codec="av1")
encoded("vp9.mp4", "VP9", 60, "30", VP9, codec="vp9")
encoded("anamorphic.mp4", "pixels 4:3 as wide as high", 30, "30", NO_B, codec="h264", video_filter="setsar=4/3")
encoded("with_audio.mp4", "with an AAC track", 90, "30", WITH_B, "-c:a aac -b:a 32k -shortest -map 0:v -map 1:a",
        codec="h264", has_audio=True, audio="-f lavfi -i sine=frequency=440:sample_rate=22050:duration=3")
encoded("with_audio.webm", "with an Opus track", 90, "30", VP8, "-c:a libopus -b:a 16k -map 0:v -map 1:a",
        codec="vp8", has_audio=True, audio="-f lavfi -i sine=frequency=440:sample_rate=48000:duration=3")
encoded("single_frame.mp4", "one frame", 1, "30", NO_B, codec="h264")

# Slow motion: filmed at 240, stretched to 30, with the filmed rate in the metadata.
made = ffmpeg("capture_rate.mp4", 60, "30", NO_B,
              "-movflags +use_metadata_tags -metadata com.android.capture.fps=240.0", rotation_deg=0)
command = made.replace("-map_metadata -1 ", "")
subprocess.run(["ffmpeg", "-hide_banner", "-loglevel", "error", "-y", "-i", str(HERE / "capture_rate.mp4"), "-c", "copy",
                "-movflags", "+use_metadata_tags", "-metadata", "com.android.capture.fps=240.0", "-fflags", "+bitexact",
                str(HERE / "capture_rate_tagged.mp4")], check=True)
(HERE / "capture_rate_tagged.mp4").replace(HERE / "capture_rate.mp4")
listed("capture_rate.mp4", "filmed at 240 frames/s, stretched to 30, with the filmed rate as metadata", 60,
       command + "; then copied with -metadata com.android.capture.fps=240.0", codec="h264", b_frames=False, variable=False, capture_rate_fps=240.0)

# A recording that missed frames: every spacing is 1/30 s but three, which span 2, 4 and 2 frames.
encoded("missed_frames.mp4", "regular at 30 frames/s but for three gaps", 80, "30", NO_B,
        "-enc_time_base 1:15360 -video_track_timescale 15360", codec="h264",
        video_filter="settb=1/15360,setpts=512*(N+gte(N\\,20)+3*gte(N\\,45)+gte(N\\,70))")

# A clip filmed at 24 frames/s and written at 30: every fifth frame repeats the one before it, at a time of its own.
encoded("copied_frames.mp4", "every fifth frame repeats the one before it", 90, "30", WITH_B, codec="h264",
        numbers=[frame - (frame + 1) // 5 for frame in range(90)], duplicated_frames=list(range(4, 90, 5)))

# What must be refused, or opened with a warning.
whole = (HERE / "moov_first.mp4").read_bytes()
(HERE / "truncated.mp4").write_bytes(whole[:len(whole) * 6 // 10])
listed("truncated.mp4", "cut off in its data; the index is whole", None, "the first 6 tenths of moov_first.mp4", codec="h264", b_frames=True, variable=False)
whole = (HERE / "constant_30.mp4").read_bytes()
(HERE / "truncated_no_index.mp4").write_bytes(whole[:len(whole) * 6 // 10])
listed("truncated_no_index.mp4", "cut off before its index", 0, "the first 6 tenths of constant_30.mp4", opens=False, error="truncated")
subprocess.run("ffmpeg -hide_banner -loglevel error -y -f lavfi -i sine=frequency=440:sample_rate=22050:duration=1 -c:a aac -b:a 24k "
               f"-map_metadata -1 -fflags +bitexact -flags:a +bitexact {HERE / 'audio_only.m4a'}", shell=True, check=True)
listed("audio_only.m4a", "sound alone", 0, "ffmpeg -f lavfi -i sine=… -c:a aac", opens=False, error="no_video_track")
(HERE / "not_a_video.mp4").write_bytes(b"This is a shopping list, saved under the wrong name: goggles, cap, towel, tape measure.\n" * 4)
listed("not_a_video.mp4", "plain text under a video's name", 0, "written by make.py", opens=False, error="not_a_video")
(HERE / "empty.mp4").write_bytes(b"")
listed("empty.mp4", "no bytes at all", 0, "written by make.py", opens=False, error="empty")

# What a truncated clip still has whole, by ffprobe, which shortens the size of the packet that is cut.
for clip in CLIPS:
    if clip["frames"] is None:
        lines = subprocess.run(["ffprobe", "-v", "quiet", "-select_streams", "v:0", "-show_entries", "packet=pts,size,pos",
                                "-of", "csv=p=0", str(HERE / clip["file"])], capture_output=True, text=True).stdout.split()
        packets = [[int(field) for field in line.split(",") if field] for line in lines]
        whole_packets = [pts for pts, size, position in packets if position + size < clip["bytes"]]
        clip["frames"] = len(whole_packets)
        clip["numbers"] = sorted(pts // 512 for pts in whole_packets)
(HERE / "clips.json").write_text(json.dumps({"columns": COLUMNS, "rows": ROWS, "clips": CLIPS}, indent=1) + "\n")
print(len(CLIPS), "clips,", sum(clip["bytes"] for clip in CLIPS), "bytes")
