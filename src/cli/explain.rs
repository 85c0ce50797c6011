//! `fillward explain`: the page of one rule, of one fault code, or of cautions beyond the rules.

use std::path::PathBuf;

use clap::Args;
use fillward::document::{Code, nearest};
use fillward::engine::Scene;
use fillward::explain;
use fillward::record::Job;
use fillward::units::Zone;
use fillward::vocabulary::HoldPoint;

use super::failure::Failure;
use super::files::DESK;
use super::output::{self, Terminal};
use super::{Exit, input};

#[derive(Debug, Args)]
pub(crate) struct Arguments {
    /// The rule, such as cold-material or tyre-fill/cold-material, or a fault code, such as pack/unknown-limit;
    /// `all` lists every rule, `codes` every fault code; `receiving`, `in-service` and `removal` are pages of cautions on
    /// work that no rule asks about
    rule: String,
    /// A local pack that has rules of its own; may be given several times
    #[arg(long, value_name = "FILE")]
    pack: Vec<PathBuf>,
    /// With `all`: only the rules asked at this hold point
    #[arg(long, value_name = "POINT", value_parser = input::hold_point)]
    hold_point: Option<HoldPoint>,
}

pub(crate) fn run(arguments: &Arguments, terminal: Terminal) -> Result<Exit, Failure> {
    let packs = input::packs_with_examples(&arguments.pack)?;
    let all = || packs.packs().iter().flat_map(|pack| pack.rules.iter().map(move |rule| (pack, rule)));
    if arguments.rule == "all" {
        let only = arguments.hold_point;
        let groups = HoldPoint::ALL.into_iter().filter(|point| only.is_none_or(|only| only == *point)).map(|point| {
            let asked: Vec<String> = all()
                .filter(|(_, rule)| rule.asked_at.contains(point))
                .map(|(pack, rule)| format!("{}  {}\n", pack.code_of(rule), rule.title))
                .collect();
            format!("asked {} ({})\n{}\n", point.word(), output::counted(asked.len(), "rule"), asked.concat())
        });
        let pages: Vec<&str> = explain::PAGES.iter().map(|(name, _)| *name).collect();
        let groups: String = groups.collect();
        terminal.prose(&format!("{groups}Cautions beyond the rules: {}\n", pages.join(", ")))?;
        return Ok(Exit::Pass);
    }
    if arguments.hold_point.is_some() {
        return Err(Failure::usage(
            "--hold-point goes with `all`",
            "leave it out, or write `fillward explain all --hold-point before-fill`; the page of a rule says at which hold points it is asked",
        ));
    }
    if arguments.rule == "codes" {
        let lines: Vec<String> = Code::ALL.iter().map(|code| format!("{code}  {}\n", code.page())).collect();
        terminal.prose(&lines.concat())?;
        return Ok(Exit::Pass);
    }
    let Some((pack, rule)) = packs.find_rule(&arguments.rule) else {
        if let Some(page) = explain::page_beyond(&arguments.rule) {
            terminal.prose(&page)?;
            return Ok(Exit::Pass);
        }
        let codes = Code::called(&arguments.rule);
        if !codes.is_empty() {
            let pages: Vec<String> = codes.iter().map(|code| format!("{code}\n\n{}\n", code.page())).collect();
            terminal.prose(&pages.join("\n"))?;
            return Ok(Exit::Pass);
        }
        let names: Vec<String> = all().flat_map(|(pack, rule)| [rule.name.to_string(), pack.code_of(rule)]).collect();
        let words = Code::ALL.iter().map(|code| code.word()).chain(explain::PAGES.iter().map(|(name, _)| *name));
        let help = match nearest(&arguments.rule, names.iter().map(String::as_str).chain(words)) {
            Some(near) => format!("did you mean `{near}`? `fillward explain all` lists every rule"),
            None => "`fillward explain all` lists every rule, `fillward explain codes` every fault code; write PACK/RULE where two packs share a name".to_owned(),
        };
        return Err(Failure::usage(format!("no rule is called `{}`", arguments.rule), help));
    };
    let nothing = Job::blank();
    // A page judges no job; of the limits it shows those in force by the day in Greenwich.
    let zone = Zone::universal();
    let scene = Scene::new(&packs, &nothing, DESK.now(&zone)?, &zone);
    output::report(&explain::page(&scene, pack, rule, terminal.look().width))?;
    Ok(Exit::Pass)
}
