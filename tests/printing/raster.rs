//! Pages as another program renders them, and where dark dots are.

use std::path::Path;
use std::process::Command;

/// Dots an inch.
pub const DOTS: f64 = 600.0;

/// A rendered page, one byte a dot, 0 is black.
pub struct Raster {
    width: usize,
    height: usize,
    dots: Vec<u8>,
}

/// Whether poppler's programs are there; their absence is told, and is a failure where
/// `REQUIRE_POPPLER` is set.
pub fn poppler() -> bool {
    let there = |name: &str| Command::new(name).arg("-v").output().is_ok();
    if ["pdftoppm", "pdffonts", "pdftotext", "pdfinfo"]
        .into_iter()
        .all(there)
    {
        return true;
    }
    assert!(
        std::env::var_os("REQUIRE_POPPLER").is_none(),
        "pdftoppm is missing: apt-get install poppler-utils"
    );
    eprintln!("skipped: pdftoppm is missing (apt-get install poppler-utils)");
    false
}

/// What a program of poppler's says of a file.
pub fn told(program: &str, pdf: &Path, arguments: &[&str]) -> String {
    let done = Command::new(program)
        .arg(pdf)
        .args(arguments)
        .output()
        .unwrap();
    assert!(done.status.success(), "{program}: {done:?}");
    String::from_utf8(done.stdout).unwrap()
}

impl Raster {
    /// Renders one page, counted from 1.
    pub fn of(pdf: &Path, page: usize) -> Raster {
        let page = page.to_string();
        let dots = format!("{DOTS}");
        let done = Command::new("pdftoppm")
            .args(["-r", &dots, "-gray", "-f", &page, "-l", &page])
            .arg(pdf)
            .output()
            .unwrap();
        assert!(done.status.success(), "{done:?}");
        // P5, width, height, 255, then the dots.
        let mut words = Vec::new();
        let mut at = 0;
        while words.len() < 4 {
            let end = at
                + done.stdout[at..]
                    .iter()
                    .position(u8::is_ascii_whitespace)
                    .unwrap();
            words.push(String::from_utf8(done.stdout[at..end].to_vec()).unwrap());
            at = end + 1;
        }
        assert_eq!(words[0], "P5");
        let (width, height) = (words[1].parse().unwrap(), words[2].parse().unwrap());
        Raster {
            width,
            height,
            dots: done.stdout[at..].to_vec(),
        }
    }

    fn dark(&self, x: usize, y: usize) -> bool {
        x < self.width && y < self.height && self.dots[y * self.width + x] < 128
    }

    /// Runs of dark dots along a row, `from` to `to` (millimetres): the middle of each.
    pub fn across(&self, y: f64, from: f64, to: f64) -> Vec<f64> {
        let row = dot(y);
        runs((dot(from)..dot(to)).map(|x| self.dark(x, row)), from)
    }

    /// The same down a column.
    pub fn down(&self, x: f64, from: f64, to: f64) -> Vec<f64> {
        let column = dot(x);
        runs((dot(from)..dot(to)).map(|y| self.dark(column, y)), from)
    }
}

fn dot(mm: f64) -> usize {
    (mm / 25.4 * DOTS).round().max(0.0) as usize
}

fn runs(dots: impl Iterator<Item = bool>, from: f64) -> Vec<f64> {
    let start = dot(from) as f64;
    let mut all = Vec::new();
    let mut run: Option<(usize, usize)> = None;
    let mut close = |run: &mut Option<(usize, usize)>| {
        if let Some((a, b)) = run.take() {
            all.push((start + (a + b + 1) as f64 / 2.0) / DOTS * 25.4);
        }
    };
    let mut last = 0;
    for (n, dark) in dots.enumerate() {
        match (dark, &mut run) {
            (true, Some((_, end))) => *end = n,
            (true, None) => run = Some((n, n)),
            (false, _) => close(&mut run),
        }
        last = n;
    }
    let _ = last;
    close(&mut run);
    all
}
