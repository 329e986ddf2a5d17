//! The steps of the working out, as a list.

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
