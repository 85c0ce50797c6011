//! `fillward permit`: a signed permission to go on in spite of one broken rule.

use std::fmt::Write as _;
use std::path::PathBuf;

use clap::Args;
use fillward::checklist::canonical::{hidden, shown};
use fillward::checklist::jws::Role;
use fillward::checklist::packs::{self, Packs};
use fillward::checklist::permit::{Body, Bound, FORMAT, Permit};
use fillward::checklist::trust::Trust;
use fillward::checklist::{Reason, permit};
use fillward::engine::Outcome;
use fillward::explain::{self, AtFrom};
use fillward::units::Instant;

use super::failure::Failure;
use super::input::Case;
use super::output::{Terminal, whole};
use super::secret::PrivateKey;
use super::store::{self, Existing, Readers};
use super::trust::PinnedTrust;
use super::{Exit, input};

#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The job record
    record: PathBuf,
    /// The broken rule, such as stored-outdoors
    #[arg(long)]
    rule: String,
    /// Of what subject, where the rule is broken for several
    #[arg(long)]
    subject: Option<String>,
    /// Why it is asked for, and what is done instead
    #[arg(long)]
    reason: String,
    /// Who asks, as the trust file names the person; never the one who permits
    #[arg(long, value_name = "NAME")]
    asked_by: String,
    /// Until when it is to hold
    #[arg(long, value_name = "INSTANT")]
    until: String,
    #[command(flatten)]
    key: PrivateKey,
    /// In which role
    #[arg(long, default_value = "safety-officer", value_parser = super::trust::role)]
    role: Role,
    #[command(flatten)]
    trust: PinnedTrust,
    /// A local pack to judge by as well; may be given several times
    #[arg(long, value_name = "FILE")]
    pack: Vec<PathBuf>,
    /// Where the permit goes; beside the record where this is left out
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
}

pub(crate) fn run(arguments: &Arguments, terminal: Terminal) -> Result<Exit, Failure> {
    let now = input::instant(None)?;
    let until = Instant::parse(&arguments.until)
        .map_err(|error| Failure::Usage { message: format!("--until: {error}"), help: error.help() })?;
    asked_for_well(arguments, now, until)?;
    let trust = arguments.trust.open()?;
    let case = Case::read(&arguments.record, &arguments.pack, now)?;
    let Case { packs: set, document, job, .. } = &case;
    let parts = packs::parts(set);
    let scene = case.scene();
    let (now, until) = (scene.at(), until.at_offset_of(scene.at()));
    let judgement = scene.judge();
    let usage = |message: String, help: &str| Failure::Usage { message, help: help.to_owned() };
    let Some(number) = job.number() else {
        return Err(usage("the record has no job number".to_owned(), "a permit is for one job: number it first"));
    };
    let Some((pack, rule)) = set.find_rule(&arguments.rule) else {
        return Err(usage(
            format!("no rule is called `{}`", arguments.rule),
            "`fillward explain all` lists every rule",
        ));
    };
    let broken: Vec<String> = judgement
        .findings
        .iter()
        .filter(|finding| finding.outcome == Outcome::Broken && finding.holds())
        .filter(|finding| scene.rule(finding).is_some_and(|found| std::ptr::eq(found, rule)))
        .map(|finding| permit::subject(&scene, finding))
        .filter(|subject| arguments.subject.as_ref().is_none_or(|asked| asked == subject))
        .collect();
    let [subject] = broken.as_slice() else {
        let code = explain::code(pack, rule);
        return Err(match broken.len() {
            0 => usage(
                format!("`{code}` is not broken here"),
                "only a broken rule can be permitted; what is not shown must be found out",
            ),
            _ => usage(format!("`{code}` is broken for {}", broken.join(", ")), "say for which with --subject"),
        });
    };
    let part = set.packs().iter().position(|known| known.name == pack.name).and_then(|place| parts.get(place));
    let Some(part) = part.cloned() else {
        return Err(usage("the rule's pack is not in force".to_owned(), "report this: the program is at fault"));
    };
    let report = explain::Report::new(&scene, &judgement, document, AtFrom::Clock);
    let code = explain::code(pack, rule);
    let evidence = permit::explained(&report, &code, subject).map(permit::evidence).unwrap_or_default();
    let out =
        arguments.out.clone().unwrap_or_else(|| arguments.record.with_extension(format!("{}.permit.json", rule.name)));
    store::vacant(&out)?;
    let body = Body {
        evidence,
        filled: permit::filled(job),
        format: FORMAT.to_owned(),
        asked_by: arguments.asked_by.clone(),
        from: now.to_record_text(),
        job: number.to_owned(),
        pack: part,
        reason: arguments.reason.clone(),
        rule: rule.name.clone(),
        subject: subject.clone(),
        until: until.to_record_text(),
    };
    let mut permit = Permit::new(&body)?;
    let key = arguments.key.open()?;
    permit.envelope_mut().sign(&key, arguments.role, now)?;
    let packs = Packs { set, parts: &parts };
    let mut against: Vec<Reason> = trust.lapses(now).into_iter().collect();
    against.extend(permit.check(&trust, Some(packs), now));
    // Where nothing else speaks against it, it must serve for the record that it is given for.
    if against.is_empty() {
        against.extend(Bound::new(&permit, packs, job, document).misfit());
    }
    if !against.is_empty() {
        return Err(Failure::Integrity(against));
    }
    store::write(&out, &permit.envelope().to_file()?, Existing::Keep, Readers::Usual).map_err(Failure::if_written)?;
    let told = terminal.prose(&format!(
        "Permitted until {until}: {} for {}, job {}.\n  filled: {}\n  {}\nThe finding stays broken; it is shown as broken, permitted.\n",
        code,
        shown(subject),
        shown(number),
        shown(&permit::filled_words(&body.filled)),
        whole(&shown(&out.display().to_string()))
    ));
    told.map_err(Failure::after_signing)?;
    Ok(Exit::Pass)
}

/// Sees that span and reason can stand in a permit, before anything is opened.
fn asked_for_well(arguments: &Arguments, now: Instant, until: Instant) -> Result<(), Failure> {
    let usage = |message: String, help: &str| Err(Failure::Usage { message, help: help.to_owned() });
    if until <= now {
        return usage(format!("--until: {until} is past"), "give an instant that is still to come");
    }
    if arguments.reason.trim().is_empty() {
        return usage("--reason: nothing is said".to_owned(), "say why it is asked for, and what is done instead");
    }
    if arguments.reason.chars().any(|c| c != '\n' && c != '\t' && hidden(c).is_some()) {
        return usage(
            "--reason: it has a character that cannot be seen".to_owned(),
            "type the reason anew by hand, in letters, digits and signs that show",
        );
    }
    Ok(())
}

/// A permit as people read it: what stays broken, who lets it pass, for whom, why and until when.
pub(crate) fn describe(text: &mut String, permit: &Permit, trust: &Trust) {
    let body = permit.body();
    let by = permit.signer().map_or_else(|| "nobody".to_owned(), |signer| trust.name_of(&signer.kid));
    let _ = writeln!(
        text,
        "  broken, permitted: {} of {}\n    filled: {}\n    by {}, asked by {}, until {}: {}",
        shown(&permit.code()),
        shown(&body.subject),
        shown(&permit::filled_words(&body.filled)),
        shown(&by),
        shown(&body.asked_by),
        body.until,
        shown(&body.reason)
    );
}
