//! Makes the demo: two clips and their truth. See `demo/README.md`.

use std::error::Error;
use std::path::{Path, PathBuf};
use std::sync::mpsc::sync_channel;

use wetframe_demo::camera::{HEIGHT, WIDTH};
use wetframe_demo::caustics::Caustics;
use wetframe_demo::clips::{DEMO_CLIPS, DemoClip, FRAME_COUNT};
use wetframe_demo::encode::{Reel, clip_from_reel};
use wetframe_demo::picture::Film;
use wetframe_demo::{session, truth};

const USAGE: &str = "usage: wetframe-demo [truth | session | encode | still LABEL FRAME FILE.png | sheet LABEL FROM EVERY FILE.png]\n\
    without a word: draws both clips, encodes them and writes truth.json and session.wetframe";

fn main() -> Result<(), Box<dyn Error>> {
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let words: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = words.iter().map(String::as_str).collect();
    match words.as_slice() {
        [] => {
            let caustics = Caustics::new();
            for clip in &DEMO_CLIPS {
                draw(clip, &caustics)?;
                encode(clip, here)?;
            }
            write_truth(here)?;
            write_session(here)
        }
        ["truth"] => write_truth(here),
        ["session"] => write_session(here),
        ["encode"] => DEMO_CLIPS.iter().try_for_each(|clip| encode(clip, here)),
        ["still", label, frame, file] => still(label, frame.parse()?, Path::new(file)),
        ["sheet", label, from, every, file] => sheet(label, from.parse()?, every.parse()?, Path::new(file)),
        _ => Err(USAGE.into()),
    }
}

fn reel_of(clip: &DemoClip) -> Result<PathBuf, std::io::Error> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../target/demo");
    std::fs::create_dir_all(&folder)?;
    Ok(folder.join(format!("{}.mkv", clip.label)))
}

/// Draws a clip on all processors, each taking every n-th frame.
fn draw(clip: &DemoClip, caustics: &Caustics) -> Result<(), Box<dyn Error>> {
    let film = Film::new(clip, caustics);
    let workers = std::thread::available_parallelism().map_or(1, usize::from);
    let mut reel = Reel::create(&reel_of(clip)?)?;
    std::thread::scope(|scope| {
        let receivers: Vec<_> = (0..workers)
            .map(|worker| {
                let (sender, receiver) = sync_channel(3);
                let film = &film;
                scope.spawn(move || {
                    for frame in (worker as u32..FRAME_COUNT).step_by(workers) {
                        // The receiver is gone only when encoding failed; there is nothing left to draw for.
                        if sender.send(film.frame(frame)).is_err() {
                            break;
                        }
                    }
                });
                receiver
            })
            .collect();
        for frame in 0..FRAME_COUNT as usize {
            reel.add(&receivers[frame % workers].recv()?)?;
        }
        Ok::<(), Box<dyn Error>>(())
    })?;
    reel.finish()?;
    Ok(())
}

fn encode(clip: &DemoClip, here: &Path) -> Result<(), Box<dyn Error>> {
    clip_from_reel(&reel_of(clip)?, &here.join(format!("{}.mp4", clip.label)))?;
    Ok(())
}

fn write_truth(here: &Path) -> Result<(), Box<dyn Error>> {
    let written = serde_json::to_string_pretty(&truth::truth())?;
    std::fs::write(here.join("truth.json"), written + "\n")?;
    Ok(())
}

fn write_session(here: &Path) -> Result<(), Box<dyn Error>> {
    std::fs::write(here.join("session.wetframe"), session::session_file(here)?)?;
    Ok(())
}

fn still(label: &str, frame: u32, file: &Path) -> Result<(), Box<dyn Error>> {
    let clip = DEMO_CLIPS.iter().find(|clip| clip.label == label).ok_or(USAGE)?;
    let caustics = Caustics::new();
    let bytes = Film::new(clip, &caustics).frame(frame);
    let picture =
        image::RgbImage::from_raw(WIDTH as u32, HEIGHT as u32, bytes).ok_or("a frame of another size")?;
    picture.save(file)?;
    Ok(())
}

/// Sixteen frames on one sheet, quarter size, row by row.
fn sheet(label: &str, from: u32, every: u32, file: &Path) -> Result<(), Box<dyn Error>> {
    const SHRINK: usize = 3;
    const ACROSS: usize = 4;
    let clip = DEMO_CLIPS.iter().find(|clip| clip.label == label).ok_or(USAGE)?;
    let caustics = Caustics::new();
    let film = Film::new(clip, &caustics);
    let (width, height) = (WIDTH / SHRINK, HEIGHT / SHRINK);
    let mut sheet = image::RgbImage::new((width * ACROSS) as u32, (height * ACROSS) as u32);
    for place in 0..ACROSS * ACROSS {
        let bytes = film.frame(from + every * place as u32);
        let (left, top) = (place % ACROSS * width, place / ACROSS * height);
        for row in 0..height {
            for column in 0..width {
                let mut sums = [0u32; 3];
                for (down, right) in (0..SHRINK * SHRINK).map(|part| (part / SHRINK, part % SHRINK)) {
                    let at = 3 * ((row * SHRINK + down) * WIDTH + column * SHRINK + right);
                    for (sum, byte) in sums.iter_mut().zip(&bytes[at..at + 3]) {
                        *sum += u32::from(*byte);
                    }
                }
                let mean = sums.map(|sum| (sum / (SHRINK * SHRINK) as u32) as u8);
                sheet.put_pixel((left + column) as u32, (top + row) as u32, image::Rgb(mean));
            }
        }
    }
    sheet.save(file)?;
    Ok(())
}
