//! The shape of a cutting plan for other programs, as `tuckwright help json` tells it.

use crate::report::json::shape::Measure;
use serde::Serialize;

#[derive(Debug, Serialize)]
pub struct Head<'a> {
    pub tuckwright: u32,
    pub kind: &'static str,
    pub title: &'a str,
    pub ruler: Measure,
    pub unit: &'static str,
    pub verdict: &'static str,
    pub exit: u8,
    pub proved: bool,
}

#[derive(Debug, Serialize)]
pub struct Plan<'a> {
    #[serde(flatten)]
    pub head: Head<'a>,
    pub sheets_used: u64,
    pub offcuts_used: u64,
    /// Whole sheets: no plan takes fewer.
    pub lower_bound: u64,
    /// How often the fence is set, sheets that are cut alike together.
    pub settings: usize,
    pub stages: Vec<Group>,
    pub sheets: Vec<Sheet>,
    pub pieces: Vec<Piece>,
    pub any_paper: Vec<Piece>,
    pub missing: Vec<Missing>,
    pub offcuts: Vec<Offcut>,
    pub cautions: Vec<&'static str>,
}

#[derive(Debug, Serialize)]
pub struct Group {
    pub papers: Vec<String>,
    pub two: Kind,
    pub three: Kind,
    pub free: Kind,
    pub chosen: &'static str,
}

#[derive(Debug, Serialize)]
pub struct Kind {
    pub sheets: Option<u64>,
    pub offcuts: Option<u64>,
    pub lower_bound: u64,
    pub proved: bool,
    pub not_enough: bool,
}

#[derive(Clone, Debug, Serialize)]
pub struct Sheet {
    pub paper: String,
    pub number: u64,
    /// Sheets with the same number are cut alike.
    pub pattern: usize,
    pub offcut: bool,
    pub width: Measure,
    pub height: Measure,
    pub trimmed: Size,
    pub cuts: Vec<OneCut>,
    pub pieces: Vec<Lying>,
    pub left_over: Vec<Lying>,
}

#[derive(Clone, Debug, Serialize)]
pub struct Size {
    pub width: Measure,
    pub height: Measure,
}

#[derive(Clone, Debug, Serialize)]
pub struct OneCut {
    pub step: usize,
    pub set: Measure,
    pub from: String,
    pub from_width: Measure,
    pub from_height: Measure,
    pub alike: u64,
    pub side: &'static str,
    pub cuts: u64,
    pub off: Vec<Thing>,
    pub left: Option<Thing>,
}

#[derive(Clone, Debug, Serialize)]
pub struct Thing {
    pub is: &'static str,
    pub name: String,
    pub width: Measure,
    pub height: Measure,
    pub turned: bool,
    pub count: u64,
}

#[derive(Clone, Debug, Serialize)]
pub struct Lying {
    pub name: String,
    pub x: Measure,
    pub y: Measure,
    pub width: Measure,
    pub height: Measure,
    pub turned: bool,
}

#[derive(Debug, Serialize)]
pub struct Piece {
    pub name: String,
    pub leaf: String,
    pub width: Measure,
    pub height: Measure,
    pub count: u64,
    pub from: Vec<FromPaper>,
}

#[derive(Debug, Serialize)]
pub struct FromPaper {
    pub paper: String,
    pub count: u64,
}

#[derive(Debug, Serialize)]
pub struct Missing {
    pub paper: String,
    pub width: Measure,
    pub height: Measure,
    pub more: u64,
}

#[derive(Debug, Serialize)]
pub struct Offcut {
    pub paper: String,
    pub width: Measure,
    pub height: Measure,
    pub count: u64,
    pub uncut: bool,
    /// Of the largest one of its paper: whether a larger one is proved impossible.
    pub largest_proved: Option<bool>,
    pub gives: Vec<Gives>,
}

#[derive(Debug, Serialize)]
pub struct Gives {
    pub name: String,
    pub leaf: String,
    pub count: u64,
}

#[derive(Debug, Serialize)]
pub struct Fill<'a> {
    #[serde(flatten)]
    pub head: Head<'a>,
    pub value: u64,
    /// Whether `value` counts what the list says, or square steps of area.
    pub valued: bool,
    pub used_permille: u64,
    pub pieces: Vec<Piece>,
    pub stages: Vec<FillKind>,
    pub sheets: Vec<Sheet>,
    pub cautions: Vec<&'static str>,
}

#[derive(Debug, Serialize)]
pub struct FillKind {
    pub stages: &'static str,
    pub value: u64,
    pub pieces: u64,
    pub used_permille: u64,
    pub proved: bool,
    pub chosen: bool,
}
