//! Files written whole or not at all: killed in the midst of writing, on a full disk, where nothing may be written.
//!
//! A child process, this same program of tests with a place in its environment, writes without end and is killed at
//! any moment; what a file then holds must be all of one text or all of the other.

use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

use fanloom::disk::{replace, sweep};

/// Tells the child where to write.
const PLACE: &str = "FANLOOM_TEST_WRITE_TO";
/// How often a child is killed.
const KILLS: u64 = 200;

/// Two texts of a session's size that differ in length and in every byte.
fn texts() -> [Vec<u8>; 2] {
    [vec![b'a'; 200_000], vec![b'b'; 90_000]]
}

fn child(test: &str, place: &Path) -> Command {
    let mut command = Command::new(std::env::current_exe().expect("this program has a place"));
    command.args(["--exact", test, "--ignored", "--nocapture", "--test-threads=1"]).env(PLACE, place);
    command.stdout(Stdio::null()).stderr(Stdio::null());
    command
}

fn place() -> Option<std::path::PathBuf> {
    std::env::var_os(PLACE).map(Into::into)
}

/// Names in a folder but for the file itself.
fn beside(place: &Path) -> Vec<String> {
    let folder = std::fs::read_dir(place.parent().expect("it is in a folder")).expect("the folder is there");
    let names = folder.flatten().map(|entry| entry.file_name().to_string_lossy().into_owned());
    names.filter(|name| Some(name.as_ref()) != place.file_name()).collect()
}

#[test]
#[ignore = "the child of the test below"]
fn child_that_writes_without_end() {
    let Some(place) = place() else { return };
    // Ends by itself where whoever started it has gone without killing it.
    for round in 0..100_000 {
        replace(&texts()[round % 2], &place).expect("the place can be written");
    }
}

#[test]
fn killed_two_hundred_times_in_the_midst_of_writing_it_leaves_a_whole_file_each_time() {
    let folder = tempfile::tempdir().expect("a folder");
    let place = folder.path().join("window-1.ron");
    replace(&texts()[0], &place).unwrap();
    let (mut seen, mut cut_short) = ([0; 2], 0);
    for kill in 0..KILLS {
        let mut child = child("child_that_writes_without_end", &place).spawn().expect("it starts");
        // Any moment from before it writes to some writes later, spread evenly and not in step with the writes.
        std::thread::sleep(Duration::from_micros(4_000 + kill * 7_919 % 12_000));
        child.kill().expect("it still writes");
        child.wait().expect("it was started here");

        let held = std::fs::read(&place).expect("a file is there at every moment");
        let which = texts().iter().position(|text| *text == held);
        let which = which.unwrap_or_else(|| panic!("kill {kill} left {} bytes that nobody wrote", held.len()));
        seen[which] += 1;
        cut_short += usize::from(!beside(&place).is_empty());
        sweep(&place);
        assert_eq!(beside(&place), Vec::<String>::new(), "what was left half written is cleared away");
    }
    // Else nothing was killed in the midst of writing, and nothing was tested.
    assert!(seen.iter().all(|times| *times > 0) && cut_short > 0, "{seen:?}, {cut_short} cut short");
}

#[test]
fn sweeping_takes_nothing_that_is_not_a_write_cut_short() {
    let folder = tempfile::tempdir().expect("a folder");
    let place = folder.path().join("a.ron");
    let kept = ["a.ron", ".a.ron.bak", ".a.ron.mine.part", "a.ron.12-0.part", ".b.ron.12-0.part"];
    for name in kept.into_iter().chain([".a.ron.12-0.part"]) {
        std::fs::write(folder.path().join(name), "").unwrap();
    }

    sweep(&place);

    assert!(kept.iter().all(|name| folder.path().join(name).exists()));
    assert!(!folder.path().join(".a.ron.12-0.part").exists());
}

#[test]
#[ignore = "the child of the test below"]
fn child_that_may_write_only_short_files() {
    let Some(place) = place() else { return };
    let refused = replace(&texts()[0], &place).expect_err("the file is longer than may be");
    assert!(refused.mend.contains("what was there before is still there"), "{refused:?}");
}

/// As on a disk that fills up while it is written: the system refuses after some thousand bytes.
#[cfg(unix)]
#[test]
fn a_write_refused_halfway_leaves_the_old_file_and_nothing_beside_it() {
    let folder = tempfile::tempdir().expect("a folder");
    let place = folder.path().join("a.ron");
    std::fs::write(&place, "old").unwrap();
    let test = std::env::current_exe().expect("this program has a place");
    let script = "trap '' XFSZ; ulimit -f 16; exec \"$0\" --exact child_that_may_write_only_short_files --ignored";
    let done = Command::new("sh").args(["-c", script]).arg(test).env(PLACE, &place).output().expect("a shell");

    let said = String::from_utf8_lossy(&done.stdout).into_owned();
    assert!(done.status.success() && said.contains("1 passed"), "{said}");
    assert_eq!(std::fs::read(&place).unwrap(), b"old");
    assert_eq!(beside(&place), Vec::<String>::new());
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_device_and_a_forbidden_folder_are_refused_with_their_mend() {
    let full = replace(b"anything", Path::new("/dev/full")).expect_err("nothing fits");
    assert!(full.mend.starts_with("make room on the disk"), "{full:?}");
    let forbidden = replace(b"anything", Path::new("/sys/fanloom.ron")).expect_err("nobody writes there");
    assert!(forbidden.mend.starts_with("choose a folder that you may write in"), "{forbidden:?}");
}

/// A small disk of its own, mounted for one test.
struct Disk(tempfile::TempDir);

impl Disk {
    fn mounted(options: &str) -> Self {
        let disk = Self(tempfile::tempdir().expect("a folder"));
        disk.mount(&["-t", "tmpfs", "-o", options, "fanloom-test"]);
        disk
    }

    fn mount(&self, args: &[&str]) {
        let done = Command::new("mount").args(args).arg(self.0.path()).status().expect("mount is there");
        assert!(done.success(), "only root may mount");
    }
}

impl Drop for Disk {
    fn drop(&mut self) {
        // One that stays mounted is in nobody's way.
        let _ = Command::new("umount").arg(self.0.path()).status();
    }
}

#[test]
#[ignore = "needs root, to mount a small disk"]
fn on_a_full_disk_the_old_file_stays_and_the_next_write_goes_well_once_there_is_room() {
    let disk = Disk::mounted("size=256k");
    let (place, filler) = (disk.0.path().join("a.ron"), disk.0.path().join("filler"));
    replace(&texts()[1], &place).unwrap();
    std::fs::write(&filler, vec![0; 100_000]).unwrap();

    let refused = replace(&texts()[0], &place).expect_err("the disk is full");
    assert!(refused.mend.starts_with("make room on the disk"), "{refused:?}");
    assert_eq!(std::fs::read(&place).unwrap(), texts()[1]);
    assert_eq!(beside(&place), ["filler"]);
    std::fs::remove_file(&filler).unwrap();
    replace(&texts()[1], &place).unwrap();
}

#[test]
#[ignore = "needs root, to mount a small disk"]
fn on_a_disk_that_may_only_be_read_the_old_file_stays() {
    let disk = Disk::mounted("size=256k");
    let place = disk.0.path().join("a.ron");
    std::fs::write(&place, "old").unwrap();
    disk.mount(&["-o", "remount,ro"]);

    let refused = replace(b"new", &place).expect_err("it may only be read");

    assert!(refused.mend.starts_with("choose a folder that you may write in"), "{refused:?}");
    assert_eq!(std::fs::read(&place).unwrap(), b"old");
}
