//! `wetframe`: the same computations as on the page, from a shell, for batch work and for anyone who wants
//! to check them.
//!
//! Data goes to standard output and nothing else does; messages go to standard error and name the file.

mod check;
mod compare;
mod flags;
mod frame_table;
mod frames;
mod history;
mod measure;
mod outcome;
mod session_file;
mod set_argument;
mod table;

use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, Subcommand};

use outcome::Stop;
use set_argument::SetArgument;
use stroke::MeasureKind;

const EXIT_CODES: &str = "\
Exit codes:
  0  done; also when the reader of the output closed it early
  1  the file was read and something is wrong with it (messages on standard error)
  2  the command line was not understood
  3  the file cannot be read
  4  the output cannot be written

The tables are described in FORMAT.md of the session crate: CSV (RFC 4180), UTF-8, times and lengths with
their units in the columns' names.";

/// Stroke timing from clips and session files.
#[derive(Parser)]
#[command(name = "wetframe", version, after_help = EXIT_CODES, arg_required_else_help = true)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Subcommand)]
enum Command {
    /// Checks session files and says how far each is
    ///
    /// Prints one line for each good file: its name, the format's version, clips, cycles, marks. Says of
    /// each other file everything that is wrong with it. Marks in an impossible order are said as warnings.
    #[command(after_help = EXIT_CODES)]
    Check {
        /// Session files (.wetframe); "-" is standard input
        #[arg(required = true)]
        sessions: Vec<PathBuf>,
    },
    /// Prints every measure of a session as CSV
    ///
    /// Columns: clip, side, cycle (from 1; empty for a mean), breathing, measure, value, unit, uncertainty
    /// (1 standard uncertainty in that unit), n, reason (why there is no value, or why it is in doubt).
    /// All seconds are the swimmer's, in slow motion too.
    #[command(after_help = EXIT_CODES)]
    Measure {
        /// A session file (.wetframe); "-" is standard input
        session: PathBuf,
    },
    /// Compares two sets of cycles, measure by measure, as CSV
    ///
    /// Columns: comparison, measure, side, unit; n, mean, sd, 95 % interval and frame uncertainty of each set;
    /// the difference (b - a) with its 95 % interval; Welch's t, permutation test, p adjusted for all questions
    /// asked at once; Hedges' g; whether the difference is beyond the frames, your own marking and the strokes'
    /// variation; verdict, sentence, what would settle it; reason (why there is no test); confounders. What else
    /// differs between the sets is said as a warning.
    #[command(after_help = format!("{}\n\n{EXIT_CODES}", set_argument::SYNTAX))]
    Compare {
        /// A session file (.wetframe); "-" is standard input
        session: PathBuf,
        /// The first set of cycles
        #[arg(
            long,
            value_name = "SET",
            requires = "b",
            required_unless_present = "comparison"
        )]
        a: Option<SetArgument>,
        /// The second set of cycles
        #[arg(long, value_name = "SET", requires = "a")]
        b: Option<SetArgument>,
        /// Item i of the first set belongs to item i of the second: the stretches, or of one stretch each its cycles
        #[arg(long, requires = "a")]
        paired: bool,
        /// Asks about this measure only; may be given several times. Fewer questions need less to be answered,
        /// if they were chosen before looking
        #[arg(long = "measure", value_name = "NAME", requires = "a", value_parser = compare::kind)]
        measures: Vec<MeasureKind>,
        /// Instead of two sets: a comparison that the session keeps, by its id
        #[arg(long, value_name = "ID", conflicts_with_all = ["a", "b"])]
        comparison: Option<u32>,
    },
    /// Prints measures over the dates of one swimmer's sessions as CSV
    ///
    /// Columns: date, swimmer, session, clip_id, clip, of_day, measure, side, value (mean over all strokes of the clip),
    /// unit, uncertainty, interval_low, interval_high (95 %, from n = 3), n, view, kick, aids, speed, frame_rate_fps,
    /// changes (what was stated otherwise of the clip before), reason. A session that comes twice is left out the
    /// second time, another swimmer than the first is said: both as warnings.
    #[command(after_help = EXIT_CODES)]
    History {
        /// Session files (.wetframe), in any order; "-" is standard input
        #[arg(required = true)]
        sessions: Vec<PathBuf>,
        /// Only this measure, by its name in the tables; may be given several times
        #[arg(long = "measure", value_name = "NAME", value_parser = compare::kind)]
        measures: Vec<MeasureKind>,
    },
    /// Prints the frame table of a clip as CSV
    ///
    /// Columns: frame (from 0, in presentation order), presentation_ticks, timescale (ticks per second),
    /// presentation_s, duration_s (seconds of playback), keyframe (true or false).
    #[command(after_help = EXIT_CODES)]
    Frames {
        /// A clip: MP4, MOV, WebM or Matroska
        clip: PathBuf,
    },
    /// Prints the marks of a session as CSV
    ///
    /// Columns: clip, mark, kind, side, frame, presentation_ticks, timescale, true_time_s, proof, clip_id,
    /// clip_name.
    #[command(after_help = EXIT_CODES)]
    Marks {
        /// A session file (.wetframe); "-" is standard input
        session: PathBuf,
    },
    /// Prints what was marked again, beside the earlier marks, as CSV
    ///
    /// Columns: clip, remarking, mark, kind, side, earlier_frame, earlier_true_time_s, answer (marked, skipped
    /// or none), frame, presentation_ticks, timescale, true_time_s, proof, clip_id, clip_name. A second marking
    /// that is not finished is left out.
    #[command(after_help = EXIT_CODES)]
    Remarks {
        /// A session file (.wetframe); "-" is standard input
        session: PathBuf,
    },
    /// Prints how closely the coach marks again as CSV
    ///
    /// Columns: of (mark or measure), what, n (pairs), unit, sem (standard error of measurement) with its 95 %
    /// interval, mdc (smallest detectable change, 95 %, between two single values), own_sem (without the frames'
    /// share), shift (again - earlier) with its 95 % interval, unpaired_earlier, unpaired_again, reason.
    #[command(after_help = EXIT_CODES)]
    Repeatability {
        /// A session file (.wetframe); "-" is standard input
        session: PathBuf,
    },
}

fn main() -> ExitCode {
    let done = match Arguments::parse().command {
        Command::Check { sessions } => check::run(&sessions),
        Command::Measure { session } => measure::run(&session),
        Command::Compare {
            session,
            a,
            b,
            paired,
            measures,
            comparison,
        } => match (&a, &b, comparison) {
            (Some(before), Some(after), _) => compare::run(
                &session,
                &compare::Asked::Sets {
                    before,
                    after,
                    paired,
                    kinds: &measures,
                },
            ),
            (.., id) => compare::run(
                &session,
                // The command line is not read without sets and without an id.
                &compare::Asked::Kept(session::ComparisonId(id.unwrap_or_default())),
            ),
        },
        Command::History { sessions, measures } => history::run(&sessions, &measures),
        Command::Frames { clip } => frame_table::run(&clip),
        Command::Marks { session } => table::run(&session, session::marks_csv),
        Command::Remarks { session } => table::run(&session, session::remarks_csv),
        Command::Repeatability { session } => table::run(&session, session::repeatability_csv),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(stop) => stop.exit_code(),
    }
}

/// Writes data to standard output.
fn print(data: &str) -> Result<(), Stop> {
    use std::io::Write;

    let mut output = std::io::stdout().lock();
    output
        .write_all(data.as_bytes())
        .and_then(|()| output.flush())
        .map_err(|error| Stop::of_output(&error))
}
