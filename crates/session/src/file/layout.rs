//! How the JSON is laid out: indented down to the marks, and each mark, run or measure on one line, so that
//! a file can be read, compared and mended by hand without being mostly white space.

use std::io::{self, Write};

use serde_json::ser::Formatter;

/// Containers deeper than this are written on one line. The file, the session, its clips, a clip and that
/// clip's marks are five.
const DEEPEST_INDENTED: usize = 5;

#[derive(Default)]
pub(super) struct Layout {
    depth: usize,
    has_items: bool,
}

impl Layout {
    fn open<W: ?Sized + Write>(&mut self, writer: &mut W, bracket: &[u8]) -> io::Result<()> {
        self.depth += 1;
        self.has_items = false;
        writer.write_all(bracket)
    }

    fn close<W: ?Sized + Write>(&mut self, writer: &mut W, bracket: &[u8]) -> io::Result<()> {
        let indented = self.has_items && self.depth <= DEEPEST_INDENTED;
        self.depth -= 1;
        if indented {
            self.new_line(writer)?;
        }
        self.has_items = true;
        writer.write_all(bracket)
    }

    fn new_line<W: ?Sized + Write>(&self, writer: &mut W) -> io::Result<()> {
        writer.write_all(b"\n")?;
        for _ in 0..self.depth {
            writer.write_all(b"  ")?;
        }
        Ok(())
    }

    fn item<W: ?Sized + Write>(&mut self, writer: &mut W, first: bool) -> io::Result<()> {
        self.has_items = true;
        if !first {
            writer.write_all(b",")?;
        }
        if self.depth <= DEEPEST_INDENTED {
            self.new_line(writer)
        } else if first {
            Ok(())
        } else {
            writer.write_all(b" ")
        }
    }
}

impl Formatter for Layout {
    fn begin_array<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.open(writer, b"[")
    }

    fn end_array<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.close(writer, b"]")
    }

    fn begin_array_value<W: ?Sized + Write>(&mut self, writer: &mut W, first: bool) -> io::Result<()> {
        self.item(writer, first)
    }

    fn begin_object<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.open(writer, b"{")
    }

    fn end_object<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        self.close(writer, b"}")
    }

    fn begin_object_key<W: ?Sized + Write>(&mut self, writer: &mut W, first: bool) -> io::Result<()> {
        self.item(writer, first)
    }

    fn begin_object_value<W: ?Sized + Write>(&mut self, writer: &mut W) -> io::Result<()> {
        writer.write_all(b": ")
    }
}
