//! Drawing again gives the same bytes: nothing in a picture comes from a clock, an address or the order of threads.

use wetframe_demo::caustics::Caustics;
use wetframe_demo::clips::DEMO_CLIPS;
use wetframe_demo::picture::Film;

/// Two neighbours in a splash, each drawn by a film of its own on a thread of its own, in the other order.
#[test]
fn a_stretch_drawn_twice_is_the_same_byte_for_byte() {
    let draw = |frames: [u32; 2]| {
        std::thread::spawn(move || {
            let caustics = Caustics::new();
            let film = Film::new(&DEMO_CLIPS[0], &caustics);
            frames.map(|frame| (frame, film.frame(frame)))
        })
    };
    let (once, again) = (draw([120, 121]), draw([121, 120]));
    let drawn = |thread: std::thread::JoinHandle<[(u32, Vec<u8>); 2]>| {
        let mut frames = thread.join().unwrap_or_default();
        frames.sort_by_key(|(frame, _)| *frame);
        frames
    };
    let (once, again) = (drawn(once), drawn(again));
    assert!(once == again, "the second drawing differs from the first");
    assert!(once[0].1 != once[1].1, "the two frames are two pictures");
}
