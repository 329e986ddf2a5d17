//! What can be wrong with rows of bags.

use super::LONGEST_ROW;
use crate::supplies::shapes::MANY;
use crate::text::{Place, Problem};

/// What is wrong with the first row, or with a row beside its measures.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum RowError {
    #[error("there is no column `{column}`")]
    NoColumn { column: &'static str },
    #[error("there is no column `{written}`")]
    NearColumn { written: String, near: &'static str },
    #[error("two columns are headed `{column}`")]
    ColumnTwice { column: String, first: Place },
    #[error("the row has no `{column}`")]
    Nothing {
        column: &'static str,
        example: &'static str,
    },
    #[error("the row has {cells} values; there are {columns} columns")]
    TooMany { cells: usize, columns: usize },
    #[error("the closing quote is missing")]
    Quote,
    #[error("the row is longer than {LONGEST_ROW} bytes")]
    TooLong,
    #[error("`{written}` is not a count")]
    Count { written: String },
    #[error("`{written}` is not a unit")]
    Unit { written: String },
    #[error("`{key}` has no unit")]
    BareNumber { key: String, written: String },
}

impl Problem for RowError {
    fn help(&self) -> Option<String> {
        use RowError as E;
        Some(match self {
            E::NoColumn { .. } => {
                "head the columns in the first row: `name,width,gusset,height,pack,price`"
                    .to_owned()
            }
            E::NearColumn { near, .. } => format!("did you mean `{near}`?"),
            E::ColumnTwice { .. } => "delete one of them".to_owned(),
            E::Nothing { example, .. } => {
                format!("type a length with its unit, such as `{example}`")
            }
            E::TooMany { .. } => {
                "type double quotes around a value with a comma in it: `\"bag, brown\"`".to_owned()
            }
            E::Quote => {
                "type `\"` behind the value too, like `\"bag, brown\"`; type inches as `in`"
                    .to_owned()
            }
            E::TooLong => "begin a new line for every bag".to_owned(),
            E::Count { .. } => format!("type a whole number from 1 to {MANY}"),
            E::Unit { .. } => "type `in`, `mm` or `cm`".to_owned(),
            E::BareNumber { written, .. } => {
                // Nobody measures millimetres in fractions.
                let or = match written.contains('/') {
                    true => String::new(),
                    false => format!(" or `{written} mm`"),
                };
                format!("type `{written} in`{or}; `--unit in` stands for the whole table")
            }
        })
    }

    fn also(&self) -> Vec<(Place, String)> {
        match self {
            RowError::ColumnTwice { first, column, .. } => {
                vec![(*first, format!("the first `{column}` stands"))]
            }
            _ => Vec::new(),
        }
    }
}
