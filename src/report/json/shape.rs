//! The shape of the answers for other programs, as `tuckwright help json` tells it.

use serde::Serialize;

/// A length: exact as text, and in millimetres as near as a float gets.
#[derive(Clone, Debug, Serialize)]
pub struct Measure {
    pub text: String,
    pub mm: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mm_most: Option<f64>,
}

#[derive(Debug, Serialize)]
pub struct Held {
    pub rule: String,
    pub because: String,
    pub source: String,
}

#[derive(Debug, Serialize)]
pub struct Size {
    pub name: String,
    pub leaf: String,
    #[serde(flatten)]
    pub value: Measure,
    pub held_by: Vec<Held>,
}

#[derive(Debug, Serialize)]
pub struct Head<'a> {
    pub tuckwright: u32,
    pub kind: &'static str,
    pub title: &'a str,
    pub ruler: Measure,
    pub unit: &'static str,
    pub verdict: &'static str,
    pub exit: u8,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub undecided: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub clash: Option<Vec<Member>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub clash_proved_minimal: Option<bool>,
}

#[derive(Debug, Serialize)]
pub struct Member {
    pub rule: String,
    pub of: String,
    pub because: Option<String>,
    pub source: String,
}

#[derive(Debug, Serialize)]
pub struct Sizes {
    pub style: String,
    pub proofs: usize,
    pub sizes: Vec<Size>,
    pub unlimited: Vec<String>,
    pub unread: Vec<String>,
    pub holes: Holes,
    pub leaves: Vec<Leaf>,
    /// Those of the album itself: cover boards, a wrap, a band round it.
    pub parts: Vec<Part>,
    pub photos: Vec<Photos>,
    pub ring: Option<Ring>,
    pub stack: Thickness,
    pub closed: Option<Closed>,
    pub wishes_not_kept: Vec<Wish>,
    pub assumed: Vec<Assumed>,
}

#[derive(Debug, Serialize)]
pub struct Holes {
    pub count: usize,
    pub diameter: Measure,
    pub edge: Option<Measure>,
    pub heights: Vec<Measure>,
    pub spacing: Option<Measure>,
    pub pattern: Option<String>,
}

#[derive(Debug, Serialize)]
pub struct Leaf {
    pub name: String,
    pub count: i64,
    pub turned: bool,
    /// With its first side up; `null` if it is not bound at an edge.
    pub punched_at: Option<&'static str>,
    pub bag: String,
    pub width: Measure,
    pub height: Measure,
    pub slots: Vec<Slot>,
    pub parts: Vec<Part>,
    pub inserts: Vec<Insert>,
    pub thickness: Thickness,
    pub layers_at_holes: Vec<i64>,
    pub punch_takes: Option<Measure>,
    pub ring_takes: Option<i64>,
}

/// Room for inserts: where it is in the leaf (in the middle of what its sizes may be), where it opens
/// and how far things go in.
#[derive(Debug, Serialize)]
pub struct Slot {
    pub name: String,
    pub title: String,
    /// `null` where things are glued on.
    pub opens: Option<&'static str>,
    pub edge: Option<String>,
    pub depth: Option<Measure>,
    /// The height of its edge above the low edge of the leaf, or its distance from the left one.
    pub mouth: Option<Measure>,
    pub left: Measure,
    pub right: Measure,
    pub low: Measure,
    pub high: Measure,
    pub back: bool,
    pub inserts: Vec<String>,
}

#[derive(Debug, Serialize)]
pub struct Part {
    pub name: String,
    /// Pieces alike in one leaf, or in the album.
    pub count: i64,
    pub paper: Option<String>,
    pub width: Measure,
    pub height: Measure,
    pub runs_under: Option<Measure>,
}

#[derive(Debug, Serialize)]
pub struct Insert {
    pub name: String,
    pub place: String,
    pub count: i64,
    pub paper: Option<String>,
    pub width: Measure,
    pub height: Measure,
    pub shows: Option<Measure>,
    pub grip: &'static str,
    pub thickness: Measure,
    pub photo: Option<Photo>,
}

#[derive(Debug, Serialize)]
pub struct Photo {
    pub width: Measure,
    pub height: Measure,
    pub print: Option<Print>,
    pub border_side: Measure,
    pub border_above: Measure,
    pub caption_strip: Measure,
}

#[derive(Debug, Serialize)]
pub struct Print {
    pub name: String,
    pub turned: bool,
    pub width: Measure,
    pub height: Measure,
    pub off_left: Measure,
    pub off_right: Measure,
    pub off_end: Measure,
    pub says: String,
}

#[derive(Debug, Serialize)]
pub struct Photos {
    pub count: i64,
    pub width: Measure,
    pub height: Measure,
}

#[derive(Debug, Serialize)]
pub struct Ring {
    pub name: String,
    pub inside: Measure,
    pub wire: Option<Measure>,
    pub takes: Measure,
}

#[derive(Debug, Serialize)]
pub struct Thickness {
    pub at_holes: Measure,
    pub in_middle: Measure,
}

#[derive(Debug, Serialize)]
pub struct Closed {
    pub width: Measure,
    pub height: Measure,
    pub thickness: Measure,
}

#[derive(Debug, Serialize)]
pub struct Wish {
    pub rule: String,
    pub of: String,
    pub because: String,
    pub source: String,
}

#[derive(Debug, Serialize)]
pub struct Assumed {
    pub name: String,
    pub value: String,
    pub why: String,
    pub how: String,
}

#[derive(Debug, Serialize)]
pub struct Rules<'a> {
    #[serde(flatten)]
    pub head: Head<'a>,
    pub rules: Vec<RuleLine>,
}

#[derive(Debug, Serialize)]
pub struct RuleLine {
    pub rule: String,
    pub of: String,
    pub wish: bool,
    pub kept: bool,
    pub steps_left: Option<i64>,
    pub because: String,
    pub source: String,
    pub give: Option<i64>,
}
