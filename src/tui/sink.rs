//! What goes to the terminal: one write for a frame, and nothing at all for a frame that changed nothing.
//!
//! The standard output breaks a frame into pieces of a kilobyte, and the drawing library sends its resets and its
//! cursor even when not a cell differs. [`Quiet`] leaves the second out, [`Frames`] gathers the first; cells are encoded
//! by our own hand.

use std::cell::RefCell;
use std::io::{self, Write};
use std::rc::Rc;

use ratatui::backend::{Backend, ClearType, CrosstermBackend, WindowSize};
use ratatui::buffer::Cell;
use ratatui::layout::{Position, Size};

use super::app::{LEAST_COLUMNS, LEAST_LINES};
use super::encode::encode;

/// Terminals that know this pair show what lies between as one picture; others ignore it.
const BEGIN_PICTURE: &[u8] = b"\x1b[?2026h";
const END_PICTURE: &[u8] = b"\x1b[?2026l";

/// Gathers one frame. Flushing does nothing; [`Frames::send`] writes.
#[derive(Clone, Default)]
pub struct Frames(Rc<RefCell<Vec<u8>>>);

impl Write for Frames {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        self.0.borrow_mut().extend_from_slice(bytes);
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

impl Frames {
    /// Writes the gathered frame in one go. Answers how many bytes went out; 0 and no write if nothing was gathered.
    pub fn send(&self, out: &mut impl Write) -> io::Result<usize> {
        let mut frame = self.0.borrow_mut();
        if frame.is_empty() {
            return Ok(0);
        }
        frame.splice(0..0, BEGIN_PICTURE.iter().copied());
        frame.extend_from_slice(END_PICTURE);
        let length = frame.len();
        let sent = out.write_all(&frame).and_then(|()| out.flush());
        frame.clear();
        sent.map(|()| length)
    }
}

/// The terminal, without what it knows already: no resets without cells, no cursor that stands where it stood.
pub struct Quiet {
    inner: CrosstermBackend<Frames>,
    frames: Frames,
    cursor_shown: Option<bool>,
    /// Where the terminal's cursor stands for certain; cells written since make it uncertain.
    cursor_at: Option<Position>,
    /// A size to draw for instead of asking the system: tests and benches.
    fixed: Option<Size>,
}

impl Quiet {
    pub fn new(frames: Frames) -> Self {
        Self { inner: CrosstermBackend::new(frames.clone()), frames, cursor_shown: None, cursor_at: None, fixed: None }
    }

    pub fn of_size(frames: Frames, size: Size) -> Self {
        Self { fixed: Some(size), ..Self::new(frames) }
    }

    /// The terminal may have been used by others: assume nothing about it.
    pub fn forget(&mut self) {
        self.cursor_shown = None;
        self.cursor_at = None;
    }
}

impl Backend for Quiet {
    type Error = io::Error;

    fn draw<'a, I>(&mut self, content: I) -> io::Result<()>
    where
        I: Iterator<Item = (u16, u16, &'a Cell)>,
    {
        let mut content = content.peekable();
        if content.peek().is_none() {
            return Ok(());
        }
        self.cursor_at = None;
        encode(content, &mut self.frames)
    }

    fn hide_cursor(&mut self) -> io::Result<()> {
        if self.cursor_shown.replace(false) == Some(false) {
            return Ok(());
        }
        self.inner.hide_cursor()
    }

    fn show_cursor(&mut self) -> io::Result<()> {
        if self.cursor_shown.replace(true) == Some(true) {
            return Ok(());
        }
        self.inner.show_cursor()
    }

    /// Answers from memory: a question to the terminal could wait for ever.
    fn get_cursor_position(&mut self) -> io::Result<Position> {
        Ok(self.cursor_at.unwrap_or(Position::ORIGIN))
    }

    fn set_cursor_position<P: Into<Position>>(&mut self, position: P) -> io::Result<()> {
        let position = position.into();
        if self.cursor_at.replace(position) == Some(position) {
            return Ok(());
        }
        self.inner.set_cursor_position(position)
    }

    fn clear(&mut self) -> io::Result<()> {
        self.clear_region(ClearType::All)
    }

    fn clear_region(&mut self, region: ClearType) -> io::Result<()> {
        self.inner.clear_region(region)
    }

    fn size(&self) -> io::Result<Size> {
        self.fixed.map_or_else(screen_size, Ok)
    }

    fn window_size(&mut self) -> io::Result<WindowSize> {
        self.inner.window_size()
    }

    fn flush(&mut self) -> io::Result<()> {
        Backend::flush(&mut self.inner)
    }
}

/// Asked of the system alone: the library would start another program for it when the terminal is gone, and believe it.
/// A terminal that was told no size, such as one on a serial line, is taken for the smallest.
fn screen_size() -> io::Result<Size> {
    let size = rustix::termios::tcgetwinsize(io::stdout())?;
    if size.ws_col == 0 || size.ws_row == 0 {
        return Ok(Size::new(LEAST_COLUMNS, LEAST_LINES));
    }
    Ok(Size::new(size.ws_col, size.ws_row))
}

/// The standard output without its pieces of a kilobyte and without its lock: what is written goes out as it is, and a
/// terminal that takes nothing in holds up nobody else who has to say something last.
pub struct Whole;

impl Write for Whole {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        rustix::io::write(io::stdout(), bytes).map_err(io::Error::from)
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use ratatui::Terminal;

    use super::*;

    /// Counts the writes that reach the terminal.
    #[derive(Default)]
    struct Counting {
        writes: usize,
        bytes: Vec<u8>,
    }

    impl Write for Counting {
        fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
            self.writes += 1;
            self.bytes.extend_from_slice(bytes);
            Ok(bytes.len())
        }

        fn flush(&mut self) -> io::Result<()> {
            Ok(())
        }
    }

    fn draw(terminal: &mut Terminal<Quiet>, text: &str, cursor: (u16, u16)) {
        let draw = terminal.draw(|frame| {
            frame.render_widget(text, frame.area());
            frame.set_cursor_position(cursor);
        });
        draw.unwrap();
    }

    #[test]
    fn a_frame_is_one_write_and_an_unchanged_frame_none() {
        let (frames, mut out) = (Frames::default(), Counting::default());
        let mut terminal = Terminal::new(Quiet::of_size(frames.clone(), Size::new(200, 60))).unwrap();
        draw(&mut terminal, "bed A of room 12", (0, 0));
        frames.send(&mut out).unwrap();
        assert_eq!(out.writes, 1);
        assert!(out.bytes.starts_with(BEGIN_PICTURE) && out.bytes.ends_with(END_PICTURE));

        draw(&mut terminal, "bed A of room 12", (0, 0));
        assert_eq!(frames.send(&mut out).unwrap(), 0);
        assert_eq!(out.writes, 1);

        draw(&mut terminal, "bed B of room 12", (0, 0));
        assert!(frames.send(&mut out).unwrap() < 60);
        draw(&mut terminal, "bed B of room 12", (3, 0));
        assert!(frames.send(&mut out).unwrap() < 30);
        assert_eq!(out.writes, 3);
    }

    #[test]
    fn after_others_used_the_terminal_the_cursor_is_sent_again() {
        let (frames, mut out) = (Frames::default(), Counting::default());
        let mut terminal = Terminal::new(Quiet::of_size(frames.clone(), Size::new(20, 5))).unwrap();
        draw(&mut terminal, "a", (1, 1));
        frames.send(&mut out).unwrap();
        terminal.backend_mut().forget();
        draw(&mut terminal, "a", (1, 1));
        assert!(frames.send(&mut out).unwrap() > 0);
    }
}
