//! A terminal's screen as an SVG picture, for the README.
//!
//! Every cell keeps its place whatever font the reader has: a run of text is stretched to its columns, and lines are drawn
//! as lines. Colours of the terminal's own follow the reader's light or dark; a chip keeps its pair.

use std::fmt::Write as _;

const CELL_WIDTH: f32 = 8.4;
const CELL_HEIGHT: f32 = 18.0;
const MARGIN: f32 = 12.0;
/// Of the text's line above the lower edge of its cell.
const DESCENT: f32 = 5.0;

/// What the cells of a run have in common.
#[derive(Clone, PartialEq)]
struct Style {
    text: String,
    ground: Option<String>,
    bold: bool,
    underlined: bool,
}

pub(super) fn picture(screen: &vt100::Screen, title: &str) -> String {
    let (lines, columns) = screen.size();
    let (lines, columns) = (lines.get(), columns.get());
    let (width, height) =
        (f32::from(columns) * CELL_WIDTH + 2.0 * MARGIN, f32::from(lines) * CELL_HEIGHT + 2.0 * MARGIN);
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width:.1} {height:.1}\" role=\"img\" \
         aria-label=\"{0}\">\n<title>{0}</title>\n<style>\n\
         .ground {{ fill: #fbfbf9 }} .ink {{ fill: #1d2226 }} .line {{ stroke: #1d2226; fill: none }} .paper {{ fill: #fbfbf9 }}\n\
         @media (prefers-color-scheme: dark) {{ .ground {{ fill: #15191c }} .ink {{ fill: #e4e6e7 }} \
         .line {{ stroke: #e4e6e7 }} .paper {{ fill: #15191c }} }}\n\
         text {{ font: 14px ui-monospace, \"DejaVu Sans Mono\", Menlo, Consolas, monospace; white-space: pre }}\n\
         .bold {{ font-weight: bold }} .underlined {{ text-decoration: underline }}\n</style>\n\
         <rect class=\"ground\" width=\"100%\" height=\"100%\" rx=\"6\"/>\n",
        escaped(title)
    );
    for line in 0..lines {
        draw_line(&mut out, screen, line, columns);
    }
    out.push_str("</svg>\n");
    out
}

fn draw_line(out: &mut String, screen: &vt100::Screen, line: u16, columns: u16) {
    let mut column = 0;
    while column < columns {
        let style = style_at(screen, line, column);
        let first = column;
        let mut text = String::new();
        while column < columns && style_at(screen, line, column) == style {
            let sign = screen.cell(line, column).map(vt100::Cell::contents).filter(|it| !it.is_empty());
            text.push_str(sign.unwrap_or(" "));
            column += 1;
        }
        draw_run(out, &text, &style, (first, column, line));
    }
}

fn style_at(screen: &vt100::Screen, line: u16, column: u16) -> Style {
    let cell = screen.cell(line, column).expect("a cell of the screen");
    let (text, ground) = (colour(cell.fgcolor()), colour(cell.bgcolor()));
    let (text, ground) = if cell.inverse() {
        (Some(ground.unwrap_or_else(|| "paper".to_owned())), Some(text.unwrap_or_else(|| "ink".to_owned())))
    } else {
        (text, ground)
    };
    let text = text.unwrap_or_else(|| "ink".to_owned());
    Style { text, ground, bold: cell.bold(), underlined: cell.underline() }
}

fn draw_run(out: &mut String, text: &str, style: &Style, (first, after, line): (u16, u16, u16)) {
    let (x, y) = (MARGIN + f32::from(first) * CELL_WIDTH, MARGIN + f32::from(line) * CELL_HEIGHT);
    let width = f32::from(after - first) * CELL_WIDTH;
    if let Some(ground) = &style.ground {
        let fill = fill(ground);
        let _ =
            writeln!(out, "<rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"{width:.1}\" height=\"{CELL_HEIGHT:.1}\" {fill}/>");
    }
    draw_rules(out, text, x, y);
    let words: String = text.chars().map(|sign| if rule(sign).is_some() { ' ' } else { sign }).collect();
    let mut class = String::new();
    if style.bold {
        class.push_str("bold ");
    }
    if style.underlined {
        class.push_str("underlined ");
    }
    let base = y + CELL_HEIGHT - DESCENT;
    for (before, piece) in pieces(&words) {
        let left = x + before as f32 * CELL_WIDTH;
        let _ = writeln!(
            out,
            "<text x=\"{left:.1}\" y=\"{base:.1}\" textLength=\"{:.1}\" lengthAdjust=\"spacingAndGlyphs\" {}>{}</text>",
            piece.chars().count() as f32 * CELL_WIDTH,
            fill_with(&style.text, class.trim()),
            escaped(piece)
        );
    }
}

/// The pieces between stretches of spaces, each with its column: several spaces in a row are not kept in a picture.
fn pieces(text: &str) -> Vec<(usize, &str)> {
    let mut pieces = vec![];
    let mut column = 0;
    for part in text.split("  ") {
        let piece = part.trim();
        if !piece.is_empty() {
            pieces.push((column + part.chars().take_while(|sign| *sign == ' ').count(), piece));
        }
        column += part.chars().count() + 2;
    }
    pieces
}

/// Lines of boxes are drawn, so that they join: from which sides of the cell to its middle.
fn rule(sign: char) -> Option<&'static str> {
    Some(match sign {
        '─' => "lr",
        '│' => "ud",
        '┌' => "rd",
        '┐' => "ld",
        '└' => "ru",
        '┘' => "lu",
        '├' => "udr",
        '┤' => "udl",
        '┬' => "lrd",
        '┴' => "lru",
        '┼' => "lrud",
        _ => return None,
    })
}

fn draw_rules(out: &mut String, text: &str, left: f32, top: f32) {
    let mut path = String::new();
    let mut level: Option<(f32, f32)> = None;
    let middle = top + CELL_HEIGHT / 2.0;
    for (at, sign) in text.chars().enumerate() {
        let x = left + at as f32 * CELL_WIDTH;
        let sides = rule(sign).unwrap_or("");
        if sides == "lr" {
            level = Some((level.map_or(x, |(from, _)| from), x + CELL_WIDTH));
            continue;
        }
        if let Some((from, to)) = level.take() {
            let _ = write!(path, "M{from:.1} {middle:.1}H{to:.1}");
        }
        for side in sides.chars() {
            let (to_x, to_y) = match side {
                'l' => (x, middle),
                'r' => (x + CELL_WIDTH, middle),
                'u' => (x + CELL_WIDTH / 2.0, top),
                _ => (x + CELL_WIDTH / 2.0, top + CELL_HEIGHT),
            };
            let _ = write!(path, "M{:.1} {middle:.1}L{to_x:.1} {to_y:.1}", x + CELL_WIDTH / 2.0);
        }
    }
    if let Some((from, to)) = level {
        let _ = write!(path, "M{from:.1} {middle:.1}H{to:.1}");
    }
    if !path.is_empty() {
        let _ = writeln!(out, "<path class=\"line\" d=\"{path}\"/>");
    }
}

/// A class for the terminal's own colours, a colour for those of a chip.
fn fill(colour: &str) -> String {
    fill_with(colour, "")
}

fn fill_with(colour: &str, class: &str) -> String {
    if colour.starts_with('#') {
        let class = if class.is_empty() { String::new() } else { format!(" class=\"{class}\"") };
        return format!("fill=\"{colour}\"{class}");
    }
    format!("class=\"{}\"", format!("{colour} {class}").trim())
}

/// The sixteen as the newer Windows console has them by default; None: the terminal's own.
fn colour(colour: vt100::Color) -> Option<String> {
    const SIXTEEN: [&str; 16] = [
        "#0c0c0c", "#c50f1f", "#13a10e", "#c19c00", "#0037da", "#881798", "#3a96dd", "#cccccc", "#767676", "#e74856",
        "#16c60c", "#f9f1a5", "#3b78ff", "#b4009e", "#61d6d6", "#f2f2f2",
    ];
    match colour {
        vt100::Color::Default => None,
        vt100::Color::Idx(at) => SIXTEEN.get(usize::from(at)).map(|it| (*it).to_owned()),
        vt100::Color::Rgb(red, green, blue) => Some(format!("#{red:02x}{green:02x}{blue:02x}")),
    }
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}
