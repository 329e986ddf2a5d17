//! What becomes of long work that is stopped.

use super::*;
use std::process::Stdio;

/// A list that takes longer than anybody waits.
fn long() -> (tempfile::TempDir, String) {
    let mut lines = "name,width,height,count\n".to_owned();
    for n in 0..60 {
        let (w, h) = (17 + 7 * n % 61, 23 + 11 * n % 53);
        lines.push_str(&format!(
            "piece {n},{w} / 16 in,{h} / 16 in,{}\n",
            3 + n % 7
        ));
    }
    pieces(&lines)
}

#[cfg(unix)]
#[test]
fn the_best_plan_so_far_is_told_when_it_is_stopped() {
    let (folder, path) = long();
    let out = folder.path().join("plan.json");
    let name = out.to_str().expect("a name");
    let mut child = program(&[
        "cut",
        "--pieces",
        &path,
        "--sheet",
        "12 x 12 in",
        "--time",
        "3600",
        "--json",
        "-o",
        name,
    ])
    .stdin(Stdio::null())
    .stderr(Stdio::piped())
    .spawn()
    .expect("it runs");
    // Once it has begun to listen; stopped earlier, it would be stopped like any program.
    std::thread::sleep(std::time::Duration::from_millis(1_500));
    assert!(!out.exists(), "it was done before it could be stopped");
    let id = child.id().to_string();
    let sent = Command::new("kill")
        .args(["-INT", &id])
        .status()
        .expect("a signal");
    assert!(sent.success());
    let status = child.wait().expect("it ends");
    assert_eq!(status.code(), Some(0));
    let answer: Value =
        serde_json::from_str(&fs::read_to_string(&out).expect("a whole file")).expect("JSON");
    assert_eq!(answer["verdict"], "best found");
    replay::drawn(&answer, &replay::wanted(&answer));
    // No half file beside it.
    let files = fs::read_dir(folder.path()).expect("the folder").count();
    assert_eq!(files, 2);
}

#[test]
fn a_time_that_is_up_is_told() {
    let (_folder, path) = long();
    let arguments = [
        "cut",
        "--pieces",
        &path,
        "--sheet",
        "12 x 12 in",
        "--time",
        "1",
    ];
    let text = flat(&done(&arguments));
    assert!(
        text.contains("The time was up; `--time` gives it more."),
        "{text}"
    );
    // Not a terminal: nothing is said on the way.
    assert!(!text.contains("Ctrl-C"));
}
