//! The books in which it is asked what holds a size: of the musts, and of the kept wishes too.

use super::book::{Book, row_of};
use super::limits::Why;
use super::owners::Owners;
use super::program::{InstanceId, Program};

/// What may stop a size before any preference: the musts alone, then the kept wishes too.
/// Laid out when the first explanation is asked for.
#[derive(Debug, Default)]
pub(super) struct Grounds {
    /// Wishes in the order in which they were kept.
    pub kept: Vec<InstanceId>,
    musts: Option<Book>,
    /// And how many of the kept wishes are in it.
    wishes: Option<(Book, usize)>,
}

impl Grounds {
    /// Takes a book in which the musts, and nothing else, were propagated.
    pub fn lay(&mut self, musts: Book) {
        self.musts = Some(musts);
    }

    pub fn musts(&mut self, program: &Program, owners: &Owners) -> Result<&mut Book, Why> {
        let musts = match self.musts.take() {
            Some(book) => book,
            None => {
                let mut book = Book::open(program, |row| owners.is_must(row))?;
                book.settle()?;
                book
            }
        };
        Ok(self.musts.insert(musts))
    }

    pub fn wishes(&mut self, program: &Program, owners: &Owners) -> Result<&mut Book, Why> {
        let (mut book, from) = match self.wishes.take() {
            Some(before) => before,
            None => (self.musts(program, owners)?.clone(), 0),
        };
        for id in &self.kept[from..] {
            for at in owners.rows_of(*id) {
                let (row, origin) = row_of(program, at)?;
                book.push(row, origin)?;
            }
            book.settle()?;
        }
        Ok(&mut self.wishes.insert((book, self.kept.len())).0)
    }
}
