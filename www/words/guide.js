// Words of the filming guide. What has a source names it; the rest says that it is common practice.

export const guide = {
  title: "Filming guide",
  lead: "One page to read before you film, so that the clip can answer what you want to ask it.",
  print: "Print this page",
  practice: "common practice, no source",

  views_title: "Which view shows what",
  views_note: "Film from one view at a time and say in Clips which one it was. Timing of both arms needs the side, under water.",
  views_columns: ["View", "Entry, exit", "Catch, mid-pull", "Breath", "Legs", "Good for"],
  views: [
    ["Side, under water", "yes", "yes, near arm best", "turn and bubbles", "yes", "rate, phases, coordination, the propulsive gap"],
    ["Front, under water", "entry", "partly", "which side", "width", "hand path against the shoulder, left against right"],
    ["Above, from the deck", "yes", "no", "yes", "partly", "rate, breathing pattern, entry"],
    ["Behind, under water", "exit", "no", "no", "yes", "kick-outs, roll"],
  ],

  place_title: "How far, how deep",
  place: [
    "Side view: camera square to the swimmer’s path, 4–6 m away, so that the whole arm stays in the picture from entry to exit.",
    "Lens 0.3–0.5 m under the surface: deep enough to be free of waves, shallow enough to see the hand come in and go out.",
    "Hold the camera still on a pole or wall. In a pool a still camera sees two or three cycles a length: film several lengths, or walk alongside at the swimmer’s speed.",
    "Light from behind the camera. Out of the sun’s glitter, away from jets of bubbles.",
    "Mark the near arm with a coloured band: left and right are then never in doubt.",
  ],

  rate_title: "Which frame rate gives which error",
  rate_text:
    "A mark can only lie on a frame, and the event happened somewhere within it. This alone makes every interval uncertain by the figures below (1 SD), before the coach’s eye adds its own.",
  /** @param {number} n */
  rate_columns: (n) => ["Filmed at", "A frame every", "One gap", `Mean of ${n} gaps`],
  rate_note: "How far off the propulsive gap may be, computed by this page.",
  rate_source: "Each mark is uniform within its frame (variance d²/12), so the interval between two marks has SD = 1/(rate × √6).",
  rate_advice: "60 frames/s is a good start, 120 or 240 better. Short exposure (1/500 s or shorter) keeps the hand sharp.",

  cycles_title: "How many cycles",
  cycles: [
    "Three complete cycles give a mean with an interval; six to ten make it worth comparing.",
    "The frame error of a mean cycle falls with the number of cycles, so one longer passage beats many short ones.",
    "With breathing every second or third stroke, film enough to have three strokes with a breath and three without: breathing changes the timing.",
  ],
  cycles_source: "Breathing lengthens the stroke and often widens left–right differences: Seifert and others, 2005; Vezos and others, 2007.",

  same_title: "Keep the same between two passes",
  same: [
    "The kick: as usual both times, or none both times. Kicking alone changes speed, trunk incline and coordination.",
    "Speed or pace, and how tired the swimmer is.",
    "Aids, suit, breathing pattern, the side of the breath.",
    "Camera place, view, frame rate, zoom, the direction of swimming.",
    "The swimmer knows the cue only for the second pass.",
  ],
  same_source: "Kick: kicking raised speed, cut trunk incline by 13 % and lowered the index of coordination (PubMed 24016316).",

  phone_title: "With a phone",
  phone: [
    "Set the rate yourself (slow motion at 120 or 240, or 60), and note it: some phones write slow motion at 30 frames/s.",
    "Choose H.264 (“most compatible”) rather than HEVC, unless your browser plays HEVC.",
    "Copy the original file. Messengers and trimming re-encode it: frames are lost, and their times with them.",
    "Stabilisation and digital zoom off.",
  ],

  care_title: "Care",
  care: [
    "Under-18s: written consent of a parent, the purpose, who sees the clip, when it is deleted. Never from behind the blocks, never as swimmers leave the water. Your local safeguarding rules come first.",
    "Whoever films does not guard the water: somebody else does.",
    "No breath-holding for the camera. Prolonged breath-holding, or hyperventilation before swimming under water, is dangerous and potentially deadly.",
    "Pain, numbness or weakness in shoulder or back: stop, and see a clinician.",
  ],
  care_source: "Breath-holding: Red Cross and YMCA of the USA, joint statement, 2015. Filming: governing bodies’ photography guidance.",
};
