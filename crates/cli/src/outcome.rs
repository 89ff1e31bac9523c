//! How a command can end, and the exit code of each end.

use std::io::{Error, ErrorKind, Write};
use std::process::ExitCode;

use session::{Severity, Trouble};

/// Why a command stopped; what was wrong has been said already.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Stop {
    /// Something is wrong with the file.
    Problems,
    /// A file cannot be read.
    CannotRead,
    /// The output cannot be written.
    CannotWrite,
    /// Whoever read the output has seen enough.
    ReaderGone,
}

impl Stop {
    pub fn exit_code(self) -> ExitCode {
        match self {
            Self::ReaderGone => ExitCode::SUCCESS,
            Self::Problems => ExitCode::from(1),
            Self::CannotRead => ExitCode::from(3),
            Self::CannotWrite => ExitCode::from(4),
        }
    }

    /// Of an error in writing the output; says so unless the reader simply went away.
    pub fn of_output(error: &Error) -> Self {
        if error.kind() == ErrorKind::BrokenPipe {
            return Self::ReaderGone;
        }
        say(format_args!("wetframe: the output cannot be written: {error}"));
        Self::CannotWrite
    }
}

/// A line on standard error. Where nobody listens there, there is nobody left to tell.
pub(crate) fn say(line: std::fmt::Arguments<'_>) {
    let _nobody_listens = writeln!(std::io::stderr(), "{line}");
}

/// A trouble in two lines: what is wrong, and what to do.
pub(crate) fn tell(trouble: &Trouble) {
    let severity = match trouble.severity {
        Severity::Notice => "notice",
        Severity::Warning => "warning",
        Severity::Error => "error",
    };
    say(format_args!("{severity} ({}): {}", trouble.kind, trouble.message));
    say(format_args!("  {}", trouble.hint));
}
