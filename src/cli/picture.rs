//! A logger's trace as lines of signs, for the command line: plain ASCII where the locale or the user asks for it.

use crate::domain::shown::is_utf8_locale;
use crate::science::trace::Reserve;
use crate::trace::{Plot, Signs, Trace};

/// A terminal's usual width, and fewer lines than it has.
const COLUMNS: usize = 78;
const LINES: usize = 18;

fn signs(ascii: bool) -> Signs {
    let unicode = is_utf8_locale(&|name| std::env::var(name).ok());
    if ascii || !unicode { Signs::ASCII } else { Signs::UNICODE }
}

/// The picture with what its signs mean.
pub(super) fn picture(trace: &Trace, reserve: Reserve, asked: &[f64], ascii: bool) -> Vec<String> {
    let signs = signs(ascii);
    let mut lines = Plot::of(trace, reserve, asked, COLUMNS, LINES).text(signs);
    lines.push(Plot::legend(signs, reserve));
    lines
}
