//! The words that the command line has for what the desk refuses; the desk itself must not know them.

use std::path::Path;

use fillward::checklist::keys::WordsDiffer;
use fillward::checklist::trust::EditFault;
use fillward::desk::world::{NoPassphrase, StoreFault, Trouble};
use fillward::desk::{CHECKLIST_ENDING, DraftFault, LONGEST_PASSPHRASE, NoNeed, Refusal, SHORTEST_PASSPHRASE, Unfit};
use fillward::document::{Code, Fault};
use fillward::units::{Instant, Zone};
use fillward::vocabulary::{FileSort, Kind, quoted, shown};

use super::{Failure, named};

impl From<Refusal> for Failure {
    fn from(refusal: Refusal) -> Self {
        match refusal {
            Refusal::Store(fault) => fault.into(),
            Refusal::Invalid(faults) => faults.into(),
            Refusal::Reasons(reasons) => Self::Integrity(reasons),
            Refusal::Trust { name: path, reasons } => Self::Trust { path, reasons },
            Refusal::TrustOrder(reasons) => Self::TrustOrder(reasons),
            Refusal::Memory { name } => Self::Integrity(vec![seen_unsound(&name).into()]),
            Refusal::Key { name: path, fault } => Self::Key { path, fault },
            Refusal::OtherPassphrase { name: path, kept } => Self::OtherPassphrase { path, kept },
            Refusal::Passphrase(none) => none.into(),
            Refusal::NoRandomness { why } => Self::NoRandomness { why },
            Refusal::Clock => Self::Clock,
            Refusal::Unfit(unfit) => unfit.into(),
            Refusal::Held => Self::usage("the job is held", "give --hold to sign a HOLD for the file"),
            Refusal::AfterSigning(refusal) => Self::from(*refusal).after_signing(),
        }
    }
}

impl From<StoreFault> for Failure {
    fn from(StoreFault { name: path, what }: StoreFault) -> Self {
        match what {
            Trouble::Missing { why } | Trouble::Unreadable { why } => Self::Unreadable { path, why },
            Trouble::TooLong { length, most } => Self::TooLong { path, length, most },
            Trouble::NotPlain => Self::NotPlain { path },
            Trouble::NotOurs => Self::NotOurs { path },
            Trouble::Exists => Self::Exists { path },
            Trouble::Changed => Self::ChangedMeanwhile { path },
            Trouble::Busy => Self::Locked { lock: path },
            Trouble::Unwritable { why } => Self::UnwritableFile { path, why },
            Trouble::NotKept { why } => Self::NotKept { path, why },
            Trouble::NotAsWritten => Self::NotAsWritten { path },
            Trouble::Nowhere => Self::usage(
                "this account has no home, so it cannot be remembered which trust file was seen",
                "set HOME or XDG_STATE_HOME, or give the words of the trust file from paper with --trust-words",
            ),
        }
    }
}

impl From<NoPassphrase> for Failure {
    fn from(none: NoPassphrase) -> Self {
        match none {
            NoPassphrase::NobodyToAsk => Self::usage(
                "a passphrase is needed and there is no terminal to ask for it",
                "give it with --passphrase-file or --passphrase-fd; a new one for `fillward key passwd` with \
                 --new-passphrase-file",
            ),
            NoPassphrase::NoAnswer { why } => Self::NoAnswer { why },
            NoPassphrase::Kept(fault) => fault.into(),
            NoPassphrase::TooLong => Self::usage(
                format!("the passphrase has more than {LONGEST_PASSPHRASE} bytes"),
                "give the file with the passphrase in its first line, and nothing else",
            ),
            NoPassphrase::Differ => Self::usage("the two passphrases differ", "start again"),
        }
    }
}

/// Words from paper that are not those of an owner's key.
fn other_owner_words(who: &str, how: &WordsDiffer) -> Failure {
    let message = format!("the words are not those of the owner's key of {}: {how}", shown(who));
    Failure::usage(
        message,
        match how {
            WordsDiffer::All => {
                "look whether you read the words of the key of the owner and not those of the version; if you did, the key is \
                 another one, and nothing starts by it"
            }
            _ => {
                "read them off the shop's paper again; if they differ, the key is another one, and nothing starts by it"
            }
        },
    )
}

/// Of a permit that nobody needs.
fn not_needed(code: &str, since: NoNeed) -> Failure {
    let shown = |names: Vec<String>| shown(&names.join(", ")).into_owned();
    match since {
        NoNeed::Passes => Failure::usage(
            format!("no permit is needed: `{code}` is not broken, and nothing holds the job"),
            "sign the job with `fillward sign`, without a permit",
        ),
        NoNeed::Advises => Failure::usage(
            format!("no permit is needed: `{code}` only advises, and does not hold the job"),
            "sign the job with `fillward sign`, without a permit for it",
        ),
        NoNeed::NotShown => Failure::usage(
            format!("there is nothing to permit yet: the record does not show whether `{code}` is broken"),
            "find out what `fillward check` asks for, and record it; only what is known to be broken can be permitted",
        ),
        NoNeed::OfOthers(subjects) => Failure::usage(
            format!("no permit is needed there: `{code}` is broken for {}", shown(subjects)),
            "leave --of out, or name with it for which of these; a request for another one is thrown away",
        ),
        NoNeed::HeldBy(rules) => Failure::usage(
            format!("no permit of `{code}` is needed: it is not broken, and the job is held by {}", shown(rules)),
            "put right what holds it, as `fillward check` says, or ask for a permit of a rule that is broken",
        ),
    }
}

impl From<Unfit> for Failure {
    fn from(unfit: Unfit) -> Self {
        match unfit {
            Unfit::NoJobNumber => {
                Self::usage("the record has no job number", "a permit is for one job: number it first")
            }
            Unfit::NoPack { name } => Self::usage(
                format!("`{}` and the files beside it are no pack with a name and an edition", named(&name)),
                "give --edition the folder with all files of the pack, or its one file",
            ),
            Unfit::NoSuchRule { rule } => {
                Self::usage(format!("no rule is called `{rule}`"), "`fillward explain all` lists every rule")
            }
            Unfit::NoSuchAssembly { mark } => Self::usage(
                format!("the record has no assembly with the mark `{mark}`"),
                "give the mark as the record has it, or leave --assembly out for all of them",
            ),
            Unfit::NotNeeded { code, since } => not_needed(&code, since),
            Unfit::BrokenForSeveral { code, subjects } => {
                Self::usage(format!("`{code}` is broken for {}", subjects.join(", ")), "say for which with --of")
            }
            Unfit::AtOfAnotherZone(error) => Self::usage(format!("--at: {error}"), error.help()),
            Unfit::ZoneOfAnotherShop { given, shop } => other_zone(&given, &shop),
            Unfit::NoChecklist { name, sort } => no_checklist(&name, sort),
            Unfit::NobodyCalled { name, people } => nobody_called(&name, &people),
            Unfit::ShopOfAnotherZone { shop, trust } => Self::usage(
                format!("the shop file says that the shop lies in {shop}, and the trust file in {trust}"),
                "give the shop file of the shop whose trust file it is, or put its zone right",
            ),
            Unfit::UntilOfAnotherZone(error) => Self::usage(format!("--until: {error}"), error.help()),
            Unfit::UntilPast { until } => {
                Self::usage(format!("--until: {until} is past"), "give a date and time that is still to come")
            }
            Unfit::NoReason => {
                Self::usage("--reason: nothing is said", "say why it is asked for, and what is done instead")
            }
            Unfit::HiddenReason => Self::usage(
                "--reason: it has a character that cannot be seen",
                "type the reason again by hand, in letters, digits and signs that show",
            ),
            Unfit::PermittedAlready { name } => Self::usage(
                format!("somebody has permitted `{}` already", named(&name)),
                "nothing was added; sign the job with it by `fillward sign --permit`",
            ),
            Unfit::OtherAsker { due, found } => Self::usage(
                format!("{} is said to ask, and the key is of {}", shown(&due), shown(&found)),
                "say with --as whose key it is, by the name in the trust file, or give the key of whoever asks",
            ),
            Unfit::OtherHalf { private, public } => other_half(&private, &public),
            Unfit::PermitTwice { name } => {
                Self::usage(format!("the permit `{}` is given twice", named(&name)), "give each permit once")
            }
            Unfit::NotAChecklistName { name } => Self::usage(
                format!(
                    "--out: the name `{}` does not end in `{CHECKLIST_ENDING}`, so a checklist there would be overlooked",
                    named(&name)
                ),
                format!("give a name that ends in `{CHECKLIST_ENDING}`, or leave --out out"),
            ),
            Unfit::NoOwner => Self::usage(
                "nobody has said whose trust file it is",
                "give the owner's public key, known from paper, with --owner",
            ),
            Unfit::OtherOwnerWords { who, how } => other_owner_words(&who, &how),
            Unfit::NotConfirmed => {
                Self::usage("the job number was not written as it stands in the record", "start again if you meant to")
            }
            Unfit::NumberNotConfirmed => Self::usage(
                "the number of checklists was not written as they are signed",
                "start again if you meant to",
            ),
            Unfit::ApprovedAlready { pack } => Self::usage(
                format!("the pack `{pack}` is approved like this already"),
                "look at the packs with `fillward trust show`",
            ),
            Unfit::NothingToApprove => {
                Self::usage("there is no pack to approve", "give the file of the pack, or tyre-fill")
            }
            Unfit::PackNotConfirmed => {
                Self::usage("the name of the pack was not written as it is approved", "start again if you meant to")
            }
            Unfit::Draft(fault) => undrafted(fault),
            Unfit::VersionNotConfirmed => {
                Self::usage("the version was not written as it is signed", "start again if you meant to")
            }
            Unfit::Edit(fault) => unedited(fault),
            Unfit::Name { name, flaw } => Self::usage(
                format!("--name: the name `{}` {}", name.escape_default(), flaw.description()),
                "give the name as the trust file is to have it, in letters of one script",
            ),
            Unfit::ShortPassphrase => {
                guessed(format!("the passphrase has fewer than {SHORTEST_PASSPHRASE} characters"))
            }
            Unfit::SamePassphrase => Self::usage(
                "the new passphrase is the one that the key has already",
                "nothing was changed; start again with another one",
            ),
            Unfit::EasyPassphrase => guessed(
                "the passphrase is easy to guess: without names, usual words, rows of keys and what it says twice, too little is left",
            ),
        }
    }
}

/// A zone to judge in that is not the shop file's.
fn other_zone(given: &Zone, shop: &Zone) -> Failure {
    Failure::usage(
        format!("--zone names {given}, and the shop file says that the shop lies in {shop}"),
        "leave --zone out, or give the shop file of that place",
    )
}

/// Another signed document in the place of a checklist.
fn no_checklist(name: &Path, sort: FileSort) -> Failure {
    let name = quoted(&name.display().to_string());
    Failure::usage(format!("{name} is {}, not a checklist", sort.called()), Kind::Checklist.which())
}

/// A name that is neither somebody's in the trust file nor a key file's.
fn nobody_called(name: &str, people: &[String]) -> Failure {
    Failure::usage(
        format!("nobody called {} is in the trust file, and there is no such key file", quoted(name)),
        format!("in it are: {}", shown(&people.join(", "))),
    )
}

/// A public key that lies beside a private one and is not its half.
fn other_half(private: &Path, public: &Path) -> Failure {
    let (private, public) = (named(private), named(public));
    Failure::usage(
        format!("`{public}` is not the public half of `{private}`, so it was told wrongly who signs"),
        "nothing was signed; put the two files of one key under one name, or move the public one away",
    )
}

/// A passphrase that is guessed.
fn guessed(why: impl Into<String>) -> Failure {
    Failure::usage(
        why,
        "take several words that do not belong together, none of them a name of this shop or its people",
    )
}

fn undrafted(fault: DraftFault) -> Failure {
    match fault {
        DraftFault::OfNobody { name, changes } => {
            let what: Vec<String> = changes.iter().map(|change| shown(&change.what).into_owned()).collect();
            Failure::usage(
                format!("the draft `{}` says what no owner has signed: {}", named(&name), what.join("; ")),
                "nothing was signed; find out who put it there, move it away, and start again",
            )
        }
        DraftFault::Damaged { name, why } => Failure::usage(
            format!("the draft that waits, `{}`, cannot be read: {why}", named(&name)),
            "delete it, and have what waited in it asked for again; the version in force is untouched",
        ),
        DraftFault::NothingWaits { name } => Failure::usage(
            format!("nothing waits to be signed: there is no `{}`", named(&name)),
            "give the version that is to be signed, or change the trust file with the other commands of `fillward trust`",
        ),
        DraftFault::Past { name, version, in_force } => Failure::usage(
            format!(
                "nothing waits to be signed: `{}` is a draft of version {version}, and version {in_force} is in force",
                named(&name)
            ),
            "delete it; the version in force is untouched",
        ),
        DraftFault::OwnKey { who } => Failure::usage(
            format!("{} cannot end the key that is to sign it: the version would not be an owner's", shown(&who)),
            "another owner ends it; a shop without another one begins anew, with a new key, a new trust file and its paper",
        ),
        DraftFault::Signed { name, by } => Failure::usage(
            format!(
                "the draft `{}` waits for further owners, and {} signed it as it is",
                named(&name),
                by.join(" and ")
            ),
            "approve the pack once that version is in force",
        ),
        DraftFault::CarriedNotConfirmed { name } => Failure::usage(
            format!(
                "the draft `{}` holds changes that this command did not make, and --yes is for its own alone",
                named(&name)
            ),
            "read them, then leave --yes out and write the number of the version; or sign the draft by itself first, with `fillward trust sign`",
        ),
        DraftFault::ClockFarAhead { at, last } => Failure::usage(
            format!(
                "the clock of this machine says {at}, and the latest time known here is {last}: --yes is for no such leap"
            ),
            "see that day and year are right, then leave --yes out and write the number of the version",
        ),
        DraftFault::TooFewOwnersLeft { needed, left } => Failure::usage(
            format!(
                "this could never come in force: it needs the signatures of {needed} owners of the version in force, and {left} of them \
                 could still sign it"
            ),
            "nothing was signed; while both keys are at hand, first sign `fillward trust renew --owners-needed 1` with both, \
             and then end the key; where one is lost, the shop begins again with `fillward trust new`, and its paper for every account",
        ),
        DraftFault::NoOwnerLeft { version } => Failure::usage(
            format!(
                "every owner's key of version {version} of the trust file has ended, so nobody can sign the next one"
            ),
            "begin anew: a new owner's key, a new trust file with `fillward trust new`, and its paper for every account",
        ),
    }
}

fn unedited(fault: EditFault) -> Failure {
    match fault {
        EditFault::SameShopName { name } => Failure::usage(
            format!("the shop is called `{}` already", shown(&name)),
            "look at its names with `fillward trust show`",
        ),
        EditFault::NoSuchPerson { name, known } => Failure::usage(
            format!("nobody is called `{}` in the trust file", name.escape_default()),
            format!("give the name as it stands there: {}", known.join(", ")),
        ),
        EditFault::KeyThere { who } => Failure::usage(
            format!("this key is in the trust file already, as {who}'s"),
            "make a new key with `fillward key new`; nobody shares one",
        ),
        EditFault::KeyEnded { who, at } => Failure::usage(
            format!(
                "this key of {who} ended at {}: what was given back or revoked serves nobody again",
                Instant::told(&at)
            ),
            "make a new key with `fillward key new`, and add that one",
        ),
        EditFault::NoReason => Failure::usage("--why: nothing is said", "say in words why the key ends"),
        EditFault::NoKey { who } => Failure::usage(
            format!("{who} has no such key, or it has ended already"),
            "look at the keys with `fillward trust show`",
        ),
        EditFault::EndThere { who } => Failure::usage(
            format!("the key of {} ends like that already", shown(&who)),
            "nothing is to be signed; where that stands in a draft that waits, sign it with `fillward trust sign`",
        ),
        EditFault::SeveralKeys { who, keys } => {
            let keys: Vec<String> =
                keys.iter().map(|(words, from)| format!("{words} (from {})", Instant::told(from))).collect();
            Failure::usage(
                format!("{who} has several keys, and only those that others may have are revoked: {}", keys.join("; ")),
                "name each of them with --key FILE; a copy of all of them may have been on one machine",
            )
        }
        EditFault::KeyLater { who, from } => Failure::usage(
            format!("the key of {who} is from {}, and was in nobody's hands before", Instant::told(&from)),
            "name with --key FILE the key that others may have, or give a later time",
        ),
        EditFault::NoKeyYet => Failure::usage(
            "somebody new has no key yet",
            "give their public key with --key, made with `fillward key new`",
        ),
        EditFault::NothingNew { who } => Failure::usage(
            format!("{who} has all of that already"),
            "give a further key with --key, or a further role with --role",
        ),
        EditFault::NotInRole { who, role } => Failure::usage(
            format!("{who} does not have the role {role}"),
            "look at the roles with `fillward trust show`",
        ),
        EditFault::NoApproval { pack } => Failure::usage(
            format!("there is no approval of a pack `{}` that has not ended by then", pack.escape_default()),
            "look at the packs with `fillward trust show`",
        ),
        EditFault::NoRole => Failure::usage("somebody new has no role yet", "say with --role what they sign as"),
    }
}

fn seen_unsound(path: &Path) -> Fault {
    let message = format!("`{}` is not as it was written: which version is the latest is not known", named(path));
    Fault::new(Code::CliTrustSeen, message)
        .help("remove that file, then accept the owner's key again by the words on the latest paper")
}
