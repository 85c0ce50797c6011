//! Links the program of a release, on 64-bit Linux with the GNU C library, so that nothing of it is moved when it is started
//! and no library of the system is looked for: of a check that takes about two milliseconds, more than half of one.
//!
//! Flags for the compiler cannot ask for it without a target named, since they would reach the procedural macros too, which
//! are libraries themselves. Arguments for the linker of one program can. Where anything that is needed is not there, the
//! program is linked as usual. It must not change what the program does.

#![expect(clippy::print_stdout, reason = "this is how a build script speaks to cargo")]

use std::env;
use std::ffi::OsString;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use std::process::Command;

/// The libraries of the system that the standard library names, each with the archives that take its place.
const LIBRARIES: [(&str, &[&str]); 7] = [
    ("gcc_s", &["libgcc_eh.a", "libgcc.a"]),
    ("c", &["libc.a", "libgcc_eh.a", "libgcc.a"]),
    ("m", &["libm.a"]),
    ("dl", &["libdl.a"]),
    ("pthread", &["libpthread.a"]),
    ("rt", &["librt.a"]),
    ("util", &["libutil.a"]),
];

fn main() -> io::Result<()> {
    println!("cargo::rerun-if-changed=shared/build/link.rs");
    let into = PathBuf::from(env::var_os("OUT_DIR").unwrap_or_default());
    if suits() && in_place_of_libraries(&into)? {
        println!("cargo::rustc-link-arg-bins=-no-pie");
        println!("cargo::rustc-link-arg-bins=-static");
        println!("cargo::rustc-link-arg-bins=-L{}", into.display());
        // What was written into a file the system keeps in larger pieces than what was mapped from it, and a program whose
        // file is kept in small ones takes a fifth longer.
        if takes(WRITTEN, &into)? {
            println!("cargo::rustc-link-arg-bins={WRITTEN}");
        }
    }
    Ok(())
}

/// Has the linker write the program, instead of mapping its file: LLD 22 takes this name and its contrary for one another.
/// To a linker that does not, it says what is usual.
const WRITTEN: &str = "-Wl,--mmap-output-file";

/// Whether the linker that the compiler uses takes an argument: links the least program with it.
fn takes(argument: &str, into: &Path) -> io::Result<bool> {
    let least = into.join("least.rs");
    fs::write(&least, "fn main() {}\n")?;
    let mut compiler = Command::new(env::var_os("RUSTC").unwrap_or_else(|| OsString::from("rustc")));
    if let Some(linker) = env::var_os("RUSTC_LINKER") {
        let mut named = OsString::from("linker=");
        named.push(linker);
        compiler.arg("-C").arg(named);
    }
    let flags = env::var("CARGO_ENCODED_RUSTFLAGS").unwrap_or_default();
    let flags = flags.split('\u{1f}').filter(|flag| !flag.is_empty());
    let told = compiler
        .args(flags)
        .arg("-C")
        .arg(format!("link-arg={argument}"))
        .arg("-o")
        .arg(into.join("least"))
        .arg(&least);
    Ok(told.output()?.status.success())
}

/// Whether it is a release, for the kind of machine that builds it, and not linked so already.
fn suits() -> bool {
    let is = |name: &str, due: &str| env::var(name).is_ok_and(|value| value == due);
    let target = is("CARGO_CFG_TARGET_OS", "linux")
        && is("CARGO_CFG_TARGET_ENV", "gnu")
        && is("CARGO_CFG_TARGET_ARCH", "x86_64")
        && env::var_os("HOST") == env::var_os("TARGET");
    let features = env::var("CARGO_CFG_TARGET_FEATURE").unwrap_or_default();
    target && is("PROFILE", "release") && !features.split(',').any(|feature| feature == "crt-static")
}

/// Writes, for each library of the system, a script for the linker that names its archives. `false` where one is not there.
fn in_place_of_libraries(into: &Path) -> io::Result<bool> {
    for (library, archives) in LIBRARIES {
        let Some(paths) = archives.iter().map(|archive| path_of(archive)).collect::<Option<Vec<_>>>() else {
            return Ok(false);
        };
        let named: Vec<String> = paths.iter().map(|path| format!("\"{}\"", path.display())).collect();
        fs::write(into.join(format!("lib{library}.so")), format!("GROUP ( {} )\n", named.join(" ")))?;
    }
    Ok(true)
}

/// Where the linker's driver has an archive; what it does not have it gives back as a bare name.
fn path_of(archive: &str) -> Option<PathBuf> {
    let driver = env::var_os("RUSTC_LINKER").unwrap_or_else(|| OsString::from("cc"));
    let told = Command::new(driver).arg(format!("-print-file-name={archive}")).output().ok()?;
    let path = PathBuf::from(String::from_utf8(told.stdout).ok()?.trim());
    (path.is_absolute() && path.is_file()).then_some(path)
}
