//! tuckwright: exact sizes for ring-bound albums made of paper bags.
//!
//! ```text
//! length, money, text           exact lengths and prices; files with places
//! solve, nest                   whole numbers only: answers, plans of cuts, proofs, checkers
//! supplies, album               what a maker writes
//! vocabulary, style, scene      a kind of album as tables; what each name means for one album
//! program                       a style over an album, as whole numbers for the solver
//! plan                          all sizes and places as verified facts
//! explain, compare, cut         facts about plans
//! price, shop, arrange          what it costs, what to buy, which photo stands where
//! report, draw                  words, then drawings and pages
//! open                          one page in the browser
//! cli                           commands; the only room that opens files
//! ```
//!
//! A room imports those above it, never the reverse (`tests/boundaries.rs`). From text to a plan and
//! its proof, as another program would:
//!
//! ```
//! use tuckwright::{album, solve, style, text, work, Outcome};
//!
//! let mut files = text::Files::default();
//! let words = r#"album = "One leaf"
//!     ruler = "1/8 in"
//!     bag = [{ name = "small", size = "5 x 8 in", gusset = "3 in" }]
//!     leaf = [{ name = "page", bag = "small" }]"#;
//! let file = files.add("album.toml", words);
//! let album = album::text::read(&mut files, file, &mut |_| Err("no files".to_owned())).expect("an album");
//! let file = files.add("upright", style::shipped::shipped("upright").expect("it is shipped"));
//! let style = style::text::read(&mut files, file).expect("a style");
//! let worked = work(&style, &album, &solve::Limits::default()).expect("rules with values");
//! let Outcome::Fits(plan) = &worked.outcome else { panic!("it does not fit") };
//! assert_eq!(plan.ruler.show_interval(plan.leaves[0].parts[0].width.value), "4 7/8 in");
//! assert!(plan.proofs > 0 && worked.solution.stats.proofs_checked == plan.proofs);
//! ```
#![forbid(unsafe_code)]

pub mod album;
pub mod arrange;
pub mod cli;
pub mod compare;
pub mod cut;
pub mod draw;
pub mod explain;
pub mod length;
pub mod money;
pub mod nest;
pub mod open;
pub mod plan;
pub mod price;
pub mod program;
pub mod report;
pub mod scene;
pub mod shop;
pub mod solve;
pub mod style;
pub mod supplies;
pub mod text;
pub mod vocabulary;

pub use plan::work::{Outcome, Worked, work, work_laid};
