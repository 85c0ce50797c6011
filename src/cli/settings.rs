//! The settings of a shop: what commands take where the command line says nothing, from one file that is named by option or
//! variable and looked for nowhere else. It only fills in options, so it can do nothing that a command line could not, and
//! accepts nobody.

use std::env;
use std::ffi::OsString;
use std::path::{Path, PathBuf};

use clap::Command;
use fillward::checklist::jws::Envelope;
use fillward::checklist::trust::TrustBody;
use fillward::document::{Document, Faults, Schema, other_form};
use fillward::vocabulary::{FileSort, Kind, shown};
use serde::Deserialize;
use serde::de::IgnoredAny;

use super::failure::Failure;
use super::input;

/// The variable that names the file where `--settings` does not.
const VARIABLE: &str = "FILLWARD_SETTINGS";
/// The option that names the file.
const OPTION: &str = "--settings";
const SCHEMA: &str = include_str!("../../schemas/settings.schema.json");

/// The text of the published schema of settings.
pub(crate) const fn schema() -> &'static str {
    SCHEMA
}

/// What the file may say.
#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct Settings {
    #[serde(rename = "settings")]
    _format: u32,
    trust: Option<PathBuf>,
    #[serde(default)]
    owners: Vec<String>,
    key: Option<PathBuf>,
    shop: Option<PathBuf>,
    #[serde(default)]
    packs: Vec<PathBuf>,
    zone: Option<String>,
    #[serde(rename = "register")]
    _register: Option<IgnoredAny>,
}

/// What was taken from settings: the words of the command line with them, and what is told of it.
#[derive(Debug)]
pub(crate) struct FilledIn {
    /// The command line, filled in.
    pub(crate) words: Vec<OsString>,
    /// The options that were filled in, for the person at work; nothing where none were.
    pub(crate) told: Option<String>,
}

/// Fills in the options that the command takes, the command line lacks and the settings name.
pub(crate) fn fill(command: fn() -> Command, words: Vec<OsString>) -> Result<FilledIn, Failure> {
    let Some(path) = named(&words) else { return Ok(FilledIn { words, told: None }) };
    let source = input::source(&path)?;
    let settings = read(&source.document()?)?;
    let folder = path.parent().unwrap_or_else(|| Path::new(""));
    if let Some((settings, trust)) = two_zones(&settings, folder) {
        return Err(Failure::usage(
            format!(
                "the settings say that the shop lies in {}, and its trust file in {}",
                shown(&settings),
                shown(&trust)
            ),
            "leave `zone` out, or write the one of the trust file",
        ));
    }
    let (mut words, mut told) = (words, Vec::new());
    let mut command = command();
    command.build();
    let chain = commands(&command, &words);
    let Some(last) = chain.last() else { return Ok(FilledIn { words, told: None }) };
    let is_of = |group: &str| chain.iter().any(|command| command.get_name() == group);
    let of = (is_of("trust"), is_of("key"));
    for (option, values) in options(&settings, folder, of, last) {
        let takes = last.get_arguments().any(|argument| argument.get_long() == Some(option));
        let long = format!("--{option}");
        let given = words.iter().any(|word| {
            let word = word.to_string_lossy();
            word == long || word.starts_with(&format!("{long}="))
        });
        if takes && !given {
            if option == "shop" {
                values.first().map_or(Ok(()), |shop| one_shop(&path, Path::new(shop)))?;
            }
            for value in values {
                told.push(format!("{long} {}", value.to_string_lossy()));
                words.extend([OsString::from(&long), value]);
            }
        }
    }
    let told = (!told.is_empty()).then(|| format!("by the settings {}: {}", path.display(), told.join(", ")));
    Ok(FilledIn { words, told })
}

/// Refuses a shop file of the settings beside another one that the variable names: which of the two is meant nobody said.
fn one_shop(settings: &Path, shop: &Path) -> Result<(), Failure> {
    let Some(other) = input::shop_of_variable() else { return Ok(()) };
    if other == shop || input::source(shop)?.bytes == input::source(&other)?.bytes {
        return Ok(());
    }
    let [settings, shop, other] = [settings, shop, other.as_path()].map(|path| path.display().to_string());
    Err(Failure::usage(
        format!("the settings `{settings}` name the shop file `{shop}`, and `{}` names `{other}`", input::SHOP),
        format!("name the one that is meant with --shop; or take the other away, `unset {}`", input::SHOP),
    ))
}

/// The zone of the settings and that of the trust file which they name, where these are two; whether that file is in
/// order is asked by whoever opens it.
fn two_zones(settings: &Settings, folder: &Path) -> Option<(String, String)> {
    let (zone, trust) = (settings.zone.as_ref()?, folder.join(settings.trust.as_ref()?));
    let file = input::source(&trust).ok()?;
    let found = Envelope::read(Kind::Trust, &file.label(), &file.bytes).ok()?.body::<TrustBody>().ok()?.zone;
    (found != *zone).then(|| (zone.clone(), found))
}

/// The file that is named: by the option, else by the variable.
fn named(words: &[OsString]) -> Option<PathBuf> {
    let with = format!("{OPTION}=");
    let mut typed = words.iter().enumerate().filter_map(|(place, word)| {
        if word == OPTION {
            return words.get(place + 1).map(PathBuf::from);
        }
        word.to_str().and_then(|word| word.strip_prefix(&with)).map(PathBuf::from)
    });
    typed.next().or_else(|| env::var_os(VARIABLE).filter(|name| !name.is_empty()).map(PathBuf::from))
}

fn read(document: &Document) -> Result<Settings, Failure> {
    let broken = |why: String| Failure::usage(format!("the built-in schema of settings: {why}"), "report this");
    if let Some(fault) = other_form(document.root(), FileSort::Settings) {
        return Err(Faults::from(fault.in_source(document.source())).into());
    }
    Schema::compile(SCHEMA).map_err(|error| broken(error.to_string()))?.check(document)?;
    serde_json::from_value(document.to_json()).map_err(|error| broken(error.to_string()))
}

/// The command that was typed, with those that it belongs to.
fn commands<'a>(root: &'a Command, words: &[OsString]) -> Vec<&'a Command> {
    let mut chain: Vec<&Command> = Vec::new();
    for word in words.iter().skip(1).filter_map(|word| word.to_str()) {
        let within = chain.last().copied().unwrap_or(root);
        chain.extend(within.find_subcommand(word));
    }
    chain
}

/// Options by their names, with their values. What is one thing for the person at work has another name where a trust file
/// is made: there `--key` is somebody's public key, and `--shop` a name.
fn options(
    settings: &Settings,
    folder: &Path,
    (of_trust, of_key): (bool, bool),
    command: &Command,
) -> Vec<(&'static str, Vec<OsString>)> {
    let at = |path: &PathBuf| folder.join(path).into_os_string();
    let one = |path: &Option<PathBuf>| path.iter().map(at).collect::<Vec<_>>();
    let owner = |owner: &String| if owner.contains(' ') { OsString::from(owner) } else { at(&PathBuf::from(owner)) };
    let signs = command.get_arguments().any(|argument| argument.get_long() == Some("by"));
    let mut options = vec![("trust", one(&settings.trust)), ("pack", settings.packs.iter().map(at).collect())];
    if of_trust {
        options.push((if signs { "by" } else { "key" }, one(&settings.key)));
        options.push(("out", one(&settings.trust)));
    } else {
        options.push(("key", one(&settings.key)));
        // Where a key is made, `--shop` is a name as well, and the trust file has it.
        if !of_key {
            options.push(("shop", one(&settings.shop)));
        }
    }
    // Anyone who accepts an owner names the key: it is the one thing that must not come from a file.
    if !["accept", "disown"].contains(&command.get_name()) {
        options.push(("owner", settings.owners.iter().map(owner).collect()));
    }
    // A trust file says where its shop lies, and so does a shop file.
    if settings.shop.is_none() && !of_trust {
        options.push(("zone", settings.zone.iter().map(OsString::from).collect()));
    }
    options
}
