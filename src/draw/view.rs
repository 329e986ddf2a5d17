//! Each side of each kind of leaf, to scale, with its sizes: what lies where, and what is hidden.

use super::badge;
use super::check::{self, Taken};
use super::dims::{self, Dim, Run};
use super::flow::Flow;
use super::list::{Anchor, Area, Ink, Line, Page, Stroke, Text, at};
use super::paper::{MM, Paper, said};
use super::place::{Placed, What, drawn, pieces};
use crate::length::Length;
use crate::plan::{LeafPlan, Plan};
use crate::report::handout::said as words;
use crate::report::handout::{Block, Table, legend, stops};

/// Scales that a leaf is drawn to, the largest that fits: drawn, of so much.
pub const SCALES: [(i64, i64); 13] = [
    (1, 1),
    (4, 5),
    (2, 3),
    (1, 2),
    (2, 5),
    (1, 3),
    (1, 4),
    (1, 5),
    (1, 8),
    (1, 10),
    (1, 15),
    (1, 20),
    (1, 40),
];

/// Room beside the spine edge for the heights of the holes.
const HOLES: i64 = 24 * MM;

/// `1 : 2.5`.
pub fn scale_name((drawn, of): (i64, i64)) -> String {
    let hundredths = of * 100 / drawn;
    let text = format!("1 : {}.{:02}", hundredths / 100, hundredths % 100);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// A leaf's side on a page: what is across from its spine edge and up from its tail.
#[derive(Clone, Copy)]
pub(super) struct Frame {
    /// Drawn, of so much.
    pub scale: (i64, i64),
    /// Where the spine edge and the tail are.
    pub spine: i64,
    pub tail: i64,
    /// The spine edge is at the left.
    pub left: bool,
}

impl Frame {
    pub fn scaled(&self, length: i64) -> i64 {
        let (n, d) = self.scale;
        (2 * length * n + d).div_euclid(2 * d)
    }

    pub fn x(&self, across: i64) -> i64 {
        match self.left {
            true => self.spine + self.scaled(across),
            false => self.spine - self.scaled(across),
        }
    }

    pub fn y(&self, up: i64) -> i64 {
        self.tail - self.scaled(up)
    }

    pub fn area(&self, left: i64, low: i64, wide: i64, high: i64) -> Area {
        let (a, b) = (self.x(left), self.x(left + wide));
        Area {
            left: a.min(b),
            right: a.max(b),
            top: self.y(low + high),
            bottom: self.y(low),
        }
    }
}

/// One side of a leaf: the drawing, where it ends, and what its letters mean.
pub struct Side {
    pub page: Page,
    pub bottom: i64,
    pub legend: Table,
}

/// Draws one side of a leaf at the upper end of a page.
pub fn side(paper: Paper, plan: &Plan, leaf: &LeafPlan, pocket: bool) -> Side {
    let title = legend::title(leaf, pocket);
    let about = legend::about(plan, leaf, pocket);
    let mut page = paper.page(&title, &about);
    let lettered = lettered(plan, leaf, pocket);
    let names: Vec<(String, String)> = lettered
        .iter()
        .map(|(letter, piece)| (letter.clone(), piece.name.clone()))
        .collect();
    let legend = legend::table(plan, leaf, pocket, &names);
    // The drawing takes what its legend leaves of the page, and half of it at least.
    let mut under = Flow::new(paper, "", "");
    under.block(&Block::Table(legend.clone()));
    let body = paper.body();
    let taken = if under.several() {
        body.height()
    } else {
        under.y() - body.top
    };
    let room = (body.height() - taken).max(body.height() / 2);
    let bottom = draw(&mut page, paper, plan, leaf, pocket, &lettered, room);
    Side {
        page,
        bottom,
        legend,
    }
}

/// Pages of one side of a leaf: the drawing, and under it what its letters mean.
pub fn pages(paper: Paper, plan: &Plan, leaf: &LeafPlan, pocket: bool) -> Vec<Page> {
    let Side {
        page,
        bottom,
        legend,
    } = side(paper, plan, leaf, pocket);
    let mut flow = Flow::after(paper, page, bottom);
    flow.block(&Block::Table(legend));
    flow.done()
}

/// The pieces on one side of a leaf, each with its letter.
pub(super) fn lettered(plan: &Plan, leaf: &LeafPlan, pocket: bool) -> Vec<(String, Placed)> {
    let here = pieces(plan, leaf).into_iter();
    let here = here.filter(|piece| piece.pocket == pocket).enumerate();
    here.map(|(n, piece)| (letter(n), piece)).collect()
}

/// `A` to `Z`, then `A2` ...
fn letter(n: usize) -> String {
    let first = char::from(b'A' + (n % 26) as u8);
    match n / 26 {
        0 => first.to_string(),
        more => format!("{first}{}", more + 1),
    }
}

/// Draws the side and tells where the drawing ends.
fn draw(
    page: &mut Page,
    paper: Paper,
    plan: &Plan,
    leaf: &LeafPlan,
    pocket: bool,
    pieces: &[(String, Placed)],
    high: i64,
) -> i64 {
    let body = paper.body();
    let (width, height) = (drawn(leaf.width), drawn(leaf.height));
    let ruler = plan.ruler;
    let told = |value| words::length(ruler, value);
    // The pocket side of a turned leaf, and the back of any other, have their spine at the right.
    let left = pocket != leaf.turned;

    let top_of = |piece: &Placed| piece.low + piece.high;
    let over = pieces.iter().map(|(_, p)| top_of(p) - height).max();
    let over = over.unwrap_or(0).max(0);
    let edge = leaf.pocket_edge.filter(|_| pocket);
    // Lanes for sizes: as many as there are different ones.
    let lanes = |frame: &Frame| {
        let (mut across, mut up): (Vec<Dim>, Vec<Dim>) = (Vec::new(), Vec::new());
        // A stop is as wide as its card, and cut from a scrap.
        for (letter, piece) in pieces.iter().filter(|(_, p)| p.what != What::Stop) {
            let area = frame.area(piece.left, piece.low, piece.wide, piece.high);
            dims::add(
                &mut across,
                area.left,
                area.right,
                letter,
                &told(piece.width),
            );
            dims::add(&mut up, area.top, area.bottom, letter, &told(piece.height));
        }
        if let Some(edge) = edge {
            let (low, high) = (frame.y(0), frame.y(drawn(edge)));
            dims::add(&mut up, low, high, "pocket", &told(edge));
        }
        let whole = frame.area(0, 0, width, height);
        dims::add(
            &mut across,
            whole.left,
            whole.right,
            "leaf",
            &told(leaf.width),
        );
        dims::add(&mut up, whole.top, whole.bottom, "leaf", &told(leaf.height));
        (across, up)
    };
    let mut frame = Frame {
        scale: SCALES[SCALES.len() - 1],
        spine: 0,
        tail: 0,
        left,
    };
    let (across, up) = lanes(&frame);
    let most = (
        (across.len() as i64) * dims::LANE,
        (up.len() as i64) * dims::LANE,
    );
    let caption = 13 * MM;
    let room = (
        body.width() - HOLES - most.1 - 2 * MM,
        high - caption - most.0 - 9 * MM,
    );
    let fits = |scale: &&(i64, i64)| {
        frame.scale = **scale;
        frame.scaled(width) <= room.0 && frame.scaled(height + over) <= room.1
    };
    frame.scale = *SCALES
        .iter()
        .find(fits)
        .unwrap_or(&SCALES[SCALES.len() - 1]);
    let spare = (room.0 - frame.scaled(width)).max(0) / 2;
    frame.spine = match left {
        true => body.left + spare + HOLES,
        false => body.right - spare - HOLES,
    };
    let head = body.top + caption + 4 * MM + frame.scaled(over);
    frame.tail = head + frame.scaled(height);

    for (n, line) in [
        format!(
            "Scale {}. Wide lines: edges that you see. Dashed: edges that are hidden.",
            scale_name(frame.scale)
        ),
        "What is tucked in is drawn as if the paper before it were glass. Letters: see below."
            .to_owned(),
    ]
    .iter()
    .enumerate()
    {
        let y = body.top + 4 * MM + 4_500_000 * n as i64;
        page.text(Text {
            ink: Ink::Dark,
            ..said(body.left, y, line, 3_200_000)
        });
    }
    figure(page, leaf, &frame, pocket, &leaf.name, pieces);
    holes(page, plan, leaf, &frame);

    let (across, up) = lanes(&frame);
    let whole = frame.area(0, 0, width, height);
    dims::draw(page, Run::Across, whole.bottom, &across, body);
    let (run, side) = match left {
        true => (Run::Up, whole.right),
        false => (Run::UpLeft, whole.left),
    };
    dims::draw(page, run, side, &up, body);
    let lettered: Vec<(&str, Area)> = pieces
        .iter()
        .flat_map(|(letter, p)| {
            let area = |(left, low)| (letter.as_str(), frame.area(left, low, p.wide, p.high));
            p.places().map(area)
        })
        .collect();
    badge::draw(page, &lettered);
    for (word, y) in [
        ("head, mouth", frame.y(height + over) - MM),
        ("tail fold", frame.y(0) + 4 * MM),
    ] {
        let text = Text {
            anchor: Anchor::Middle,
            ink: Ink::Dark,
            ..said(whole.middle().0, y, word, 3 * MM)
        };
        // At the tail there are sizes: then beside them.
        let beside = Text {
            at: at(
                if left {
                    whole.left - MM
                } else {
                    whole.right + MM
                },
                y,
            ),
            anchor: if left { Anchor::End } else { Anchor::Start },
            ..text.clone()
        };
        match [text, beside]
            .into_iter()
            .find(|t| check::free(page, t.area()))
        {
            Some(text) => page.text(text),
            None => continue,
        }
    }
    let out = if left { -1 } else { 1 };
    let beside = |x: i64, y: i64, words: &str| Text {
        turned: true,
        ink: Ink::Dark,
        ..said(x, y, words, 3 * MM)
    };
    // Two millimetres off the edge, wherever nothing else is.
    let x = frame.spine + out * 2 * MM + if left { 0 } else { 2 * MM };
    let taken = Taken::on(page);
    let along = (0..200)
        .map(|n| whole.bottom - 2 * MM * n)
        .take_while(|y| *y > whole.top)
        .map(|y| beside(x, y, "spine edge"))
        .find(|text| text.area().top > whole.top && taken.free(text.area().grown(MM / 4)));
    if let Some(text) = along {
        page.text(text);
    }
    whole.bottom + dims::LANE * across.len() as i64 + 4 * MM
}

/// The bag, its pocket, and every piece: grounds first, then lines, all named after `of`.
pub(super) fn figure(
    page: &mut Page,
    leaf: &LeafPlan,
    frame: &Frame,
    pocket: bool,
    of: &str,
    pieces: &[(String, Placed)],
) {
    let edge = leaf.pocket_edge.filter(|_| pocket).map(drawn);
    let (width, height) = (drawn(leaf.width), drawn(leaf.height));
    let whole = frame.area(0, 0, width, height);
    page.fill(whole, Ink::Pale);
    let ground = |page: &mut Page, names: &[&str]| {
        for (_, piece) in pieces.iter().filter(|(_, p)| names.contains(&&*p.name)) {
            let area = frame.area(piece.left, piece.low, piece.wide, piece.high);
            page.fill(area, Ink::White);
        }
    };
    ground(page, &["front_mat", "back_mat"]);
    if let Some(edge) = edge {
        page.fill(frame.area(0, 0, width, edge), Ink::Pale);
    }
    ground(page, &["pocket_mat", "band", stops::NAME]);
    page.rect(&format!("{of}: leaf"), whole, Some(Line::Edge.into()), None);
    if let Some(edge) = edge {
        let y = frame.y(edge);
        page.named_path(
            &format!("{of}: pocket.edge"),
            &[at(whole.left, y), at(whole.right, y)],
            Line::Edge,
        );
    }
    for (_, piece) in pieces {
        for (n, (left, low)) in piece.places().enumerate() {
            let name = match n {
                0 => format!("{of}: {}", piece.name),
                _ => format!("{of}: {}, {}", piece.name, n + 1),
            };
            let copy = Placed {
                left,
                low,
                ..piece.clone()
            };
            outline(page, frame, &name, &copy);
        }
    }
}

/// The four edges of a piece, dashed where they are hidden.
fn outline(page: &mut Page, frame: &Frame, name: &str, piece: &Placed) {
    let (low, high) = (piece.low, piece.low + piece.high);
    let hidden = |y: i64| piece.hidden.iter().any(|(from, to)| *from <= y && y < *to);
    let kind = |hidden| if hidden { Line::Hidden } else { Line::Edge };
    let (a, b) = (frame.x(piece.left), frame.x(piece.left + piece.wide));
    for y in [low, high] {
        let points = [at(a, frame.y(y)), at(b, frame.y(y))];
        page.named_path(name, &points, kind(hidden(y)));
    }
    // Up the sides, from one change to the next.
    let mut stops = vec![low, high];
    for (from, to) in &piece.hidden {
        stops.extend([*from, *to].into_iter().filter(|y| low < *y && *y < high));
    }
    stops.sort_unstable();
    for pair in stops.windows(2) {
        for x in [a, b] {
            let points = [at(x, frame.y(pair[1])), at(x, frame.y(pair[0]))];
            page.named_path(name, &points, kind(hidden(pair[0])));
        }
    }
}

/// The holes with their heights above the tail, beside the spine edge.
fn holes(page: &mut Page, plan: &Plan, leaf: &LeafPlan, frame: &Frame) {
    let radius = drawn(plan.holes.diameter) / 2;
    let edge = drawn(plan.holes.edge);
    let out = if frame.left { -1 } else { 1 };
    let text_x = frame.spine + out * 5 * MM;
    let mut above = frame.tail + 3 * MM;
    for (n, height) in plan.holes.heights.iter().enumerate() {
        let centre = at(frame.x(edge), frame.y(drawn(*height)));
        page.circle(
            &format!("{}: hole {}", leaf.name, n + 1),
            centre,
            Length::from_nm(frame.scaled(radius)),
            Some(Line::Edge.into()),
            Some(Ink::White),
        );
        // From the centre out to the label; labels keep apart.
        let y = centre.y.nm();
        let y_text = y.min(above - 4 * MM);
        above = y_text;
        page.path(
            &[
                centre,
                at(frame.spine + out * 2 * MM, y),
                at(frame.spine + out * 4 * MM, y_text),
            ],
            Stroke {
                line: Line::Thin,
                ink: Ink::Mid,
            },
        );
        let label = words::length(plan.ruler, *height);
        page.text(Text {
            anchor: if frame.left {
                Anchor::End
            } else {
                Anchor::Start
            },
            ..said(text_x, y_text + MM, &label, dims::SIZE)
        });
    }
}
