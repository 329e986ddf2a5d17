//! Each way of cutting a sheet as a drawing: its pieces with their sizes, the cuts with the numbers of
//! their steps, what is left over grey.

use super::font::{self, Face};
use super::list::{Anchor, Area, Ink, Line, Page, Shape, Text, at};
use super::paper::said;
use crate::cut::Order;
use crate::cut::place::{self, Placed, placed, strips};
use crate::cut::steps::{Is, SheetPlan, sheets};
use crate::cut::work::PaperPlan;
use crate::length::{Length, Ruler};
use crate::report::cut::{letters, piece_name, which};

const MM: i64 = Length::MM.nm();
/// The longer side of a sheet on the page.
const LONGEST: i64 = 180 * MM;
/// White around everything.
const MARGIN: i64 = 12 * MM;
/// The page is no narrower, so that words have room.
const NARROWEST: i64 = 150 * MM;
/// Radius of a step's number.
pub(super) const RADIUS: i64 = 2_500_000;
const LARGE: Length = Length::from_nm(3_500_000);
const SMALL: Length = Length::from_nm(super::paper::SMALLEST);
const HEADING: Length = Length::from_nm(4_500_000);
/// From one line of words to the next.
const LEADING: i64 = 5 * MM;

/// A page for every way of cutting a sheet, with a name for its file.
pub fn pages(
    title: &str,
    ruler: Ruler,
    order: &Order,
    plans: &mut dyn Iterator<Item = &PaperPlan>,
) -> Vec<(String, Page)> {
    let mut pages = Vec::new();
    for (plan, sheets) in sheets(plans) {
        for sheet in sheets {
            let name = format!("{:02}-{}", pages.len() + 1, file_name(order, plan));
            pages.push((name, page(title, ruler, order, plan, &sheet)));
        }
    }
    pages
}

/// Whether a file has such a name.
pub fn is_name(file: &str) -> bool {
    let digits = file.len() - file.trim_start_matches(|c: char| c.is_ascii_digit()).len();
    let plain = |c: char| c.is_ascii_lowercase() || c.is_ascii_digit() || c == '-';
    let rest = file[digits..].strip_prefix('-');
    let name = rest.and_then(|rest| rest.strip_suffix(".svg"));
    digits >= 2 && name.is_some_and(|name| !name.is_empty() && name.chars().all(plain))
}

/// Letters that any system takes in a name.
fn file_name(order: &Order, plan: &PaperPlan) -> String {
    let name = order.papers[plan.paper].name.to_lowercase();
    let plain: String = name
        .chars()
        .map(|c| if c.is_ascii_alphanumeric() { c } else { '-' })
        .collect();
    match plain.trim_matches('-') {
        "" => "sheet".to_owned(),
        plain => plain.to_owned(),
    }
}

/// From lengths on the sheet to places on the page (nanometres).
#[derive(Clone, Copy)]
pub(super) struct Scale {
    /// The sheet's longer side, and how long it is drawn.
    whole: i128,
    longest: i64,
    left: i64,
    top: i64,
}

impl Scale {
    /// A sheet with its upper left corner there, its longer side drawn so long.
    pub fn new(width: Length, height: Length, longest: i64, (left, top): (i64, i64)) -> Scale {
        Scale {
            whole: i128::from(width.max(height).nm().max(1)),
            longest,
            left,
            top,
        }
    }

    fn length(self, length: Length) -> i64 {
        let scaled = i128::from(length.nm()) * i128::from(self.longest) / self.whole;
        i64::try_from(scaled).unwrap_or(self.longest)
    }

    pub fn area(self, x: Length, y: Length, width: Length, height: Length) -> Area {
        let far = |a: Length, b: Length| a.checked_add(b).unwrap_or(a);
        Area {
            left: self.left + self.length(x),
            top: self.top + self.length(y),
            right: self.left + self.length(far(x, width)),
            bottom: self.top + self.length(far(y, height)),
        }
    }
}

fn page(title: &str, ruler: Ruler, order: &Order, plan: &PaperPlan, sheet: &SheetPlan) -> Page {
    let paper = &order.papers[plan.paper];
    let from = &paper.sheets[sheet.stock];
    let of = if paper.name.is_empty() {
        String::new()
    } else {
        format!("{}, ", paper.name)
    };
    let size = ruler.show_size_typographic(from.width, from.height);
    let which = which(sheet, from.offcut).to_lowercase();
    let heading = format!("{of}{which}: {size}");
    let upright = if paper.directed {
        " Its print stands upright."
    } else {
        ""
    };
    let corner = (MARGIN, MARGIN + 2 * LEADING + 2 * MM);
    let scale = Scale::new(from.width, from.height, LONGEST, corner);
    let whole = scale.area(Length::ZERO, Length::ZERO, from.width, from.height);
    let width = (whole.width() + 2 * MARGIN).max(NARROWEST);
    let below = words_below(ruler, sheet, width - 2 * MARGIN);
    let height = whole.bottom + 4 * MM + LEADING * below.len() as i64 + MARGIN;
    let about = format!(
        "Cutting plan of one sheet. Numbers in circles are the steps; grey is left over.{upright}"
    );
    let mut page = Page::new(
        Length::from_nm(width),
        Length::from_nm(height),
        &heading,
        &about,
    );
    let line = |n: i64, words: &str, size: Length, face| Text {
        face,
        ..said(MARGIN, MARGIN + n * LEADING, words, size.nm())
    };
    let fitting = |words: &str, size: Length, face| {
        let first = font::lines(face, size, words, width - 2 * MARGIN);
        first.into_iter().next().unwrap_or_default()
    };
    let head = fitting(&heading, HEADING, Face::Bold);
    page.text(line(0, &head, HEADING, Face::Bold));
    let under = fitting(&format!("{title}.{upright}"), SMALL, Face::Regular);
    page.text(line(1, &under, SMALL, Face::Regular));
    figure(&mut page, ruler, order, plan, sheet, scale);
    for (n, words) in below.iter().enumerate() {
        let place = at(MARGIN, whole.bottom + 6 * MM + LEADING * n as i64);
        page.text(Text {
            at: place,
            ..line(0, words, SMALL, Face::Regular)
        });
    }
    page
}

fn name(order: &Order, plan: &PaperPlan, part: &Placed) -> String {
    match part.lies.is {
        Is::Piece { piece, .. } => piece_name(order, plan, piece),
        _ => "left over".to_owned(),
    }
}

/// The sheet with its pieces, its cuts and the numbers of their steps. Tells what has no room for its name:
/// its size, and what it is.
pub(super) fn figure(
    page: &mut Page,
    ruler: Ruler,
    order: &Order,
    plan: &PaperPlan,
    sheet: &SheetPlan,
    scale: Scale,
) -> Vec<String> {
    let from = &order.papers[plan.paper].sheets[sheet.stock];
    let whole = scale.area(Length::ZERO, Length::ZERO, from.width, from.height);
    // What is trimmed off first lies outside, in broken lines.
    page.rect("", whole, Line::Hidden, None);
    let (parts, lines) = placed(plan, sheet);
    for part in parts.iter().filter(|p| p.lies.is == Is::Offcut) {
        let area = scale.area(part.x, part.y, part.lies.width, part.lies.height);
        page.fill(area, Ink::Pale);
    }
    let start = (sheet.edges.left, sheet.edges.top);
    let inner = scale.area(start.0, start.1, sheet.width, sheet.height);
    for part in &parts {
        let area = scale.area(part.x, part.y, part.lies.width, part.lies.height);
        page.rect(&name(order, plan, part), area, Line::Edge, None);
    }
    page.rect("", inner, Line::Edge, None);
    let mut unnamed: Vec<String> = Vec::new();
    let strips = strips(plan, sheet);
    for part in &parts {
        let told = label(page, ruler, order, plan, scale, part);
        let told = told.map(|(shown, it)| match shown {
            true => it,
            false => format!("{}{it}", strip_of(part, &strips)),
        });
        unnamed.extend(told.filter(|it| !unnamed.contains(it)));
    }
    steps(page, scale, &lines);
    lettered(page, scale, whole, &strips);
    unnamed
}

/// The letter of the strip that a part comes out of, the last that it lies in.
fn strip_of(part: &Placed, strips: &[Placed]) -> String {
    let inside = |from: Length, long: Length, at: Length| {
        from <= at && from.checked_add(long).is_some_and(|end| at < end)
    };
    let holds = |strip: &&Placed| {
        inside(strip.x, strip.lies.width, part.x) && inside(strip.y, strip.lies.height, part.y)
    };
    match strips.iter().rfind(holds).map(|strip| strip.lies.is) {
        Some(Is::Strip(n)) => format!("{}: ", letters(n)),
        _ => String::new(),
    }
}

/// The letters of the strips: outside the sheet where a strip begins at its edge, else in it.
fn lettered(page: &mut Page, scale: Scale, whole: Area, strips: &[Placed]) {
    for strip in strips {
        let Is::Strip(n) = strip.lies.is else {
            continue;
        };
        let area = scale.area(strip.x, strip.y, strip.lies.width, strip.lies.height);
        let text = |x: i64, y: i64| Text {
            face: Face::Bold,
            anchor: Anchor::Middle,
            ..said(x, y, &letters(n), LARGE.nm())
        };
        let (x, y) = area.middle();
        let mut ways = Vec::new();
        if area.top <= whole.top + MM / 2 {
            ways.push(text(x, whole.top - MM));
        }
        if area.left <= whole.left + MM / 2 {
            ways.push(text(whole.left - 3 * MM, y + MM));
        }
        if area.right >= whole.right - MM / 2 {
            ways.push(text(whole.right + 3 * MM, y + MM));
        }
        if area.bottom >= whole.bottom - MM / 2 {
            ways.push(text(x, whole.bottom + 4 * MM));
        }
        let taken = super::check::Taken::on(page);
        let free = |text: &Text, room: i64| taken.free(text.area().grown(room));
        // Where there is little room, closer to what is there.
        let within = |step: usize, room: i64| {
            let inner = area.grown(-room);
            let steps = move |from: i64, to: i64| (from..=to).step_by(step);
            let places = steps(inner.top + 2 * MM, inner.bottom)
                .flat_map(move |y| steps(inner.left + MM, inner.right - MM).map(move |x| (x, y)));
            let texts = places.map(|(x, y)| text(x, y));
            let mut held = texts.filter(|text| inner.holds(text.area()));
            held.find(|text| free(text, room / 2))
        };
        let found = ways.into_iter().find(|text| free(text, MM / 4));
        let found = found.or_else(|| within(1_500_000, MM / 2));
        if let Some(text) = found.or_else(|| within(250_000, MM / 10)) {
            page.text(text);
        }
    }
}

/// The settings of all steps, in lines that the page holds.
fn words_below(ruler: Ruler, sheet: &SheetPlan, width: i64) -> Vec<String> {
    let each = sheet.steps.iter().enumerate().map(|(n, step)| {
        let set = ruler.show_typographic(step.setting);
        let stays = match sheet.stays && n == 0 {
            true => "it\u{a0}stays\u{a0}at\u{a0}",
            false => "",
        };
        // One word, so that a step is not torn apart.
        format!("{}:\u{a0}{stays}{set}", n + 1)
    });
    let each: Vec<String> = each.collect();
    match each.is_empty() {
        true => Vec::new(),
        false => font::lines(
            Face::Regular,
            SMALL,
            &format!("Set\u{a0}the\u{a0}fence,\u{a0}step {}", each.join("; ")),
            width,
        ),
    }
}

/// Name and size of a part where it has room: on two lines, along it or upright, else the size alone. If
/// the name has none, tells whether the size has, and both.
fn label(
    page: &mut Page,
    ruler: Ruler,
    order: &Order,
    plan: &PaperPlan,
    scale: Scale,
    part: &Placed,
) -> Option<(bool, String)> {
    let area = scale.area(part.x, part.y, part.lies.width, part.lies.height);
    let size = ruler.show_size_typographic(part.lies.width, part.lies.height);
    let words = match part.lies.is {
        Is::Piece { piece, turned } => {
            let turned = if turned { " (sideways)" } else { "" };
            vec![format!("{}{turned}", piece_name(order, plan, piece)), size]
        }
        _ => vec![size],
    };
    let bare = part.lies.is == Is::Offcut;
    // What is left over has its size written on it where it is worth keeping.
    if bare && area.width().min(area.height()) < 20 * MM {
        return None;
    }
    for turned in [false, true] {
        for size in [LARGE, SMALL] {
            let room = if turned { area.height() } else { area.width() } - 2 * MM;
            let wrapped = words
                .iter()
                .flat_map(|line| font::lines(Face::Regular, size, line, room.max(MM)));
            let wrapped: Vec<String> = wrapped.collect();
            // No word and no size is torn.
            let torn = wrapped.join(" ") != words.join(" ");
            let both = [words.clone(), vec![words.join("\u{a0}· ")]];
            let ways = both.into_iter().chain(Some(wrapped).filter(|_| !torn));
            for lines in ways {
                if fits(page, area, &lines, size, turned, bare) {
                    return None;
                }
            }
        }
    }
    let [_, size] = words.as_slice() else {
        return None;
    };
    let mut ways = [false, true].into_iter();
    let shown =
        ways.any(|turned| fits(page, area, std::slice::from_ref(size), SMALL, turned, bare));
    Some((shown, format!("{size}: {}", words[0])))
}

/// Writes lines in the middle of an area, if they have room there.
fn fits(
    page: &mut Page,
    area: Area,
    lines: &[String],
    size: Length,
    turned: bool,
    bare: bool,
) -> bool {
    let widest = lines
        .iter()
        .map(|l| font::extent(Face::Regular, size, l).width)
        .max();
    let (wide, high) = (
        widest.unwrap_or(0),
        size.nm() * 13 / 10 * lines.len() as i64,
    );
    let room = match turned {
        false => (area.width(), area.height()),
        true => (area.height(), area.width()),
    };
    if wide + 2 * MM > room.0 || high + MM > room.1 {
        return false;
    }
    let (x, y) = area.middle();
    if bare {
        // White under the words, for the hatch.
        let (w, h) = if turned { (high, wide) } else { (wide, high) };
        let ground = Area::sized(x - w / 2, y - h / 2, w, h).grown(MM / 2);
        page.fill(ground, Ink::White);
    }
    let capital = font::capital(Face::Regular, size);
    for (n, words) in lines.iter().enumerate() {
        let step = size.nm() * 13 / 10;
        let off = step * n as i64 - step * (lines.len() as i64 - 1) / 2 + capital / 2;
        let (x, y) = if turned { (x + off, y) } else { (x, y + off) };
        page.text(Text {
            anchor: Anchor::Middle,
            turned,
            ..said(x, y, words, size.nm())
        });
    }
    true
}

/// The number of a cut's step in a circle on it, where it hides no words, or at its end.
fn steps(page: &mut Page, scale: Scale, lines: &[place::Line]) {
    let texts = |page: &Page| -> Vec<Area> {
        let marks = page.marks.iter().filter_map(|mark| match &mark.shape {
            Shape::Text(text) => Some(text.area()),
            _ => None,
        });
        marks.collect()
    };
    let mut taken = texts(page);
    for line in lines {
        let place = |at: (Length, Length)| {
            (
                scale.left + scale.length(at.0),
                scale.top + scale.length(at.1),
            )
        };
        let (from, to) = (place(line.from), place(line.to));
        let on = |share: i64| {
            let along = |a: i64, b: i64| a + (b - a) / 100 * share;
            (along(from.0, to.0), along(from.1, to.1))
        };
        let room = |(x, y): (i64, i64)| {
            let side = RADIUS + MM / 5;
            Area::sized(x - side, y - side, 2 * side, 2 * side)
        };
        let free = [12, 88, 24, 76, 6, 94, 35, 65, 50, 0, 100]
            .into_iter()
            .map(on);
        // Where words leave no room on it, just beyond one of its ends.
        let off = |a: i64, b: i64| (b - a).signum() * (RADIUS * 3 / 2);
        let (dx, dy) = (off(from.0, to.0), off(from.1, to.1));
        let beyond = [(to.0 + dx, to.1 + dy), (from.0 - dx, from.1 - dy)];
        let free = free
            .chain(beyond)
            .map(|at| (at, room(at)))
            .find(|(_, room)| !taken.iter().any(|t| t.meets(*room)));
        let Some(((x, y), room)) = free else {
            continue;
        };
        taken.push(room);
        let words = (line.step + 1).to_string();
        page.circle("", at(x, y), RADIUS, Line::Thin, Some(Ink::White));
        // The circle's own ground, as an area, so that the line under the number is hidden.
        let inside = RADIUS * 7 / 10;
        page.fill(
            Area::sized(x - inside, y - inside, 2 * inside, 2 * inside),
            Ink::White,
        );
        let capital = font::capital(Face::Bold, SMALL);
        page.text(Text {
            face: Face::Bold,
            anchor: Anchor::Middle,
            ..said(x, y + capital / 2, &words, SMALL.nm())
        });
    }
}
