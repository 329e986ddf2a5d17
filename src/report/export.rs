//! What stands around a model file: its list of steps, and its names.

use crate::program::mps::Mps;
use crate::program::{Program, Stage};

/// The steps with their numbers, in order.
pub fn stages(program: &Program, titles: &[String]) -> String {
    let mut text = String::new();
    for (n, (stage, title)) in program.stages.iter().zip(titles).enumerate() {
        let what = match stage {
            Stage::Keep(_) => "wish ",
            Stage::Best { .. } => "size ",
            Stage::Choose(_) => "pick ",
        };
        text.push_str(&format!("{n:>4}  {what} {title}\n"));
    }
    text
}

/// The model, with what its codes stand for as remarks before it.
pub fn mps(mps: &Mps, title: &str) -> String {
    let mut text = format!("* {title}\n* lengths are counted in ruler steps; the objective is minimised\n");
    for (code, name) in &mps.columns {
        let name: String = name.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
        text.push_str(&format!("* {code} = {name}\n"));
    }
    text.push_str(&mps.text);
    text
}
