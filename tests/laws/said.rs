//! How a report says what it saw: each value once, in the record's own units, and the same counts in every form. On the demo
//! jobs of every hold point, and on random records.

use fillward::document::Document;
use fillward::engine::Scene;
use fillward::explain::{self, Explained, Report};
use fillward::units::{Dimension, Instant, Quantity, Rounding, Unit};
use fillward::vocabulary::{HoldPoint, Verdict};
use proptest::prelude::*;
use proptest::test_runner::TestRunner;

use super::jobs::made;
use super::words::{WIDE, asked, each, flat, report_at};
use crate::common;

/// Tries a law on the report of every demo job, and on those of random records.
fn held(law: impl Fn(&str, &Report<'_>) -> Vec<String>) {
    let mut wrong = Vec::new();
    each(|path, _, report| wrong.extend(law(path, report)));
    assert!(wrong.is_empty(), "{}:\n{}", wrong.len(), wrong.join("\n"));
    let outcome = TestRunner::new(super::config()).run(&made(3), |made| {
        let (file, tree) = made.demo();
        let text = serde_yaml::to_string(&tree).unwrap();
        let Ok(document) = Document::read(file, text.as_bytes()) else { return Ok(()) };
        let at = (common::demo_at(), HoldPoint::BeforeFill);
        let wrong = report_at(&document, at, |_: &Scene<'_>, report| law(file, report)).unwrap_or_default();
        prop_assert!(wrong.is_empty(), "{}", wrong.join("\n"));
        Ok(())
    });
    outcome.unwrap();
}

fn findings<'r, 'a>(report: &'r Report<'a>) -> impl Iterator<Item = &'r Explained<'a>> {
    report.holding.iter().chain(&report.advice)
}

/// What is said of a place names its value once, and needs no bound that another one makes needless.
#[test]
fn no_value_is_said_twice_of_one_place() {
    held(|path, report| {
        let mut wrong = Vec::new();
        for finding in findings(report) {
            for said in finding.places().iter().map(|place| finding.said_of(place)) {
                let parts: Vec<&str> = said.split("; ").map(|part| part.trim_start_matches("or ")).collect();
                let value = parts[0].trim_start_matches("or else: ");
                let again = parts.iter().skip(1).any(|part| *part == value || part.starts_with(&format!("{value},")));
                // Of two bounds at one end that must both be kept, the stricter alone is told.
                let both = |side: &str| {
                    said.split(", or ").any(|of| of.split(" and ").filter(|of| of.ends_with(side)).count() > 1)
                };
                let twice = both(" or more") || both(" or less");
                if again || twice || parts.iter().any(|part| part.is_empty()) {
                    wrong.push(format!("{path}: {}: {said}", finding.code()));
                }
            }
        }
        wrong
    });
}

/// A yes or no is told by what it says, and no report has a word of the record's own language for it.
#[test]
fn no_truth_value_is_shown() {
    held(|path, report| {
        let said = findings(report).flat_map(|of| {
            let places = of.places().into_iter().map(|place| of.said_of(&place));
            places.chain(of.clears()).collect::<Vec<_>>()
        });
        said.filter(|said| said.split(|c: char| !c.is_alphanumeric()).any(|word| word == "true" || word == "false"))
            .map(|said| format!("{path}: {said}"))
            .collect()
    });
}

/// What lies ahead of the judgement is said so once a place, and measured by nothing.
#[test]
fn what_lies_ahead_is_said_once() {
    let mut seen = 0;
    for (path, at) in [
        ("shared/demo/carried/hold-back-too-soon.yaml", "2026-03-05T13:00:00-06:00"),
        ("shared/demo/carried/4-before-service.yaml", "2026-03-04T11:30:00-06:00"),
        ("shared/demo/carried/3-after-fill.yaml", "2026-03-04T09:05:00-06:00"),
    ] {
        let document = common::document(path);
        let point = asked(&common::read(path)).1;
        report_at(&document, (Instant::parse(at).unwrap(), point), |_, report| {
            for finding in findings(report) {
                for said in finding.places().iter().map(|place| finding.said_of(place)) {
                    let times = said.matches("after this check").count();
                    assert!(
                        times <= 1 && (times == 0 || !said.contains("needs") || !said.starts_with("dated")),
                        "{said}"
                    );
                    seen += times;
                }
            }
        })
        .unwrap();
    }
    assert!(seen > 5, "{seen}");
}

/// A bound that is the moment of the judgement is no date to be reached.
#[test]
fn the_moment_of_the_judgement_is_now() {
    let path = "shared/demo/carried/hold-back-too-soon.yaml";
    let (at, point) = asked(&common::read(path));
    report_at(&common::document(path), (at, point), |_, report| {
        let finding = report.holding.iter().find(|of| of.rule.name == "not-cured").unwrap();
        let said = finding.said_of(&finding.places()[0]);
        let now = at.in_zone(&common::demo_zone());
        assert!(said.ends_with(&format!("needs to be past, and it is {now} now")), "{said}");
    })
    .unwrap();
}

/// How many errands one paragraph of the brief report stands for: one for each line of the record in which the same is
/// wrong, and one where it names none.
fn errands(block: &str) -> usize {
    let numbers = |listed: &str| listed.split([' ', ',']).filter(|word| word.parse::<usize>().is_ok()).count();
    let listed = |opening: &str| {
        let places = block.split(opening).skip(1).filter_map(|rest| Some(rest.split_once(':')?.0));
        places.filter(|place| place.starts_with(|c: char| c.is_ascii_digit())).map(numbers).sum::<usize>()
    };
    (listed(" line ") + listed(" lines ")).max(1)
}

/// How many errands a brief report has that put something right, and that find something out.
pub(super) fn counted(brief: &str) -> [usize; 2] {
    let lines: Vec<&str> = brief.lines().collect();
    ["  ! ", "  ? "].map(|mark| {
        let block = |at: usize| {
            let more = lines[at + 1..].iter().take_while(|line| line.starts_with("      "));
            flat(&std::iter::once(&lines[at]).chain(more).copied().collect::<Vec<_>>().join(" "))
        };
        (0..lines.len()).filter(|at| lines[*at].starts_with(mark)).map(|at| errands(&block(at))).sum()
    })
}

/// All forms count what there is to do alike, and the counts are those of the lines of the first form.
#[test]
fn every_form_counts_alike() {
    held(|path, report| {
        if report.verdict() == Verdict::Pass {
            return Vec::new();
        }
        let brief = explain::brief(report, WIDE);
        let [right, out] = counted(&brief);
        let counted = format!("{right} to put right · {out} to find out");
        let plain = format!("To put right: {right}. To find out: {out}.");
        let json: serde_json::Value = serde_json::from_str(&explain::json(report).unwrap()).unwrap();
        let in_json =
            [&json["counts"]["to_put_right"], &json["counts"]["to_find_out"]].map(|count| count.as_u64().unwrap());
        let all = [
            flat(&brief).contains(&counted),
            flat(&explain::long(report, WIDE)).contains(&counted),
            explain::plain(report).contains(&plain),
            in_json == [right as u64, out as u64],
            // A HOLD has something to do.
            right + out > 0,
        ];
        if all.contains(&false) { vec![format!("{path}: {counted}: {all:?}")] } else { Vec::new() }
    });
}

/// The sheet has the headings of the first form in its order, what is urgent before the walk, and under each box what the
/// first form says was read and is needed.
#[test]
fn the_sheet_is_as_urgent_as_the_first_form_and_says_what_was_read() {
    held(|path, report| {
        let (brief, sheet) = (explain::brief(report, WIDE), explain::sheet(report));
        let headings: Vec<String> = ["At once", "While what is in the tyre still flows"]
            .into_iter()
            .filter(|heading| brief.lines().any(|line| line == *heading))
            .map(str::to_uppercase)
            .collect();
        let is_heading = |line: &&str| line.chars().all(|c| c.is_uppercase() || c == ' ') && !line.trim().is_empty();
        let first: Vec<&str> = sheet.lines().filter(is_heading).take(headings.len()).collect();
        let mut wrong = Vec::new();
        if first != headings {
            wrong.push(format!("{path}: {first:?}, not {headings:?}"));
        }
        let text = flat(&sheet);
        for finding in report.worklist.stops.iter().flat_map(|stop| &stop.faults).map(|at| &report.holding[*at]) {
            let has_read = |said: String| said.contains("; needs") && !said.starts_with("needs ");
            let said = finding.places().iter().any(|place| has_read(finding.said_of(place)));
            match finding.reading() {
                Some(read) if text.contains(&flat(&read)) => {}
                None if !said => {}
                read => wrong.push(format!("{path}: {}: {read:?}", finding.code())),
            }
        }
        wrong.extend(sheet.lines().filter(|line| line.chars().count() > 80).map(|line| format!("{path}: {line}")));
        wrong
    });
}

/// What a unit of the other system measures, by its spelling in a record.
fn measures(unit: &str, is_difference: bool) -> Option<Dimension> {
    Some(match unit {
        "degF" | "°F" if is_difference => Dimension::TemperatureDifference,
        "degF" | "°F" => Dimension::Temperature,
        "psi" => Dimension::Pressure,
        "lb" => Dimension::Mass,
        "gal" => Dimension::Volume,
        "mph" => Dimension::Speed,
        "lbf.ft" => Dimension::Torque,
        "in" | "ft" => Dimension::Length,
        _ => return None,
    })
}

fn is_number(word: &str) -> bool {
    word.chars().next().is_some_and(|c| c.is_ascii_digit() || c == '-')
        && word.chars().all(|c| c.is_ascii_digit() || "-./".contains(c))
}

/// A record text with every quantity of the other system in metric units.
fn metric(text: &str) -> String {
    let line = |line: &str| {
        if line.trim_start().starts_with('#') {
            return line.to_owned();
        }
        let mut words: Vec<String> = Vec::new();
        for word in line.split(' ') {
            let spelt = word.trim_end_matches([',', '}', ']']);
            let is_difference = words.iter().rev().nth(1).is_some_and(|key| key.ends_with("uncertainty:"));
            let dimension = measures(spelt, is_difference).filter(|_| words.last().is_some_and(|word| is_number(word)));
            let Some(dimension) = dimension else {
                words.push(word.to_owned());
                continue;
            };
            let mut number = words.pop().unwrap();
            if let Some(whole) = words.pop_if(|whole| is_number(whole)) {
                number = format!("{whole} {number}");
            }
            let own = Quantity::parse(&format!("{number} {spelt}"), dimension).unwrap();
            let unit = own.unit().counterpart();
            words.push(own.in_unit(unit).unwrap().value().to_decimal(4, Rounding::Nearest));
            words.push(format!("{}{}", unit.symbol(), word.strip_prefix(spelt).unwrap_or_default()));
        }
        words.join(" ")
    };
    text.lines().map(line).collect::<Vec<_>>().join("\n") + "\n"
}

/// Whether a sentence gives a quantity of the other system, but for the rule's own in brackets behind a metric one.
fn is_customary(said: &str) -> bool {
    const CUSTOMARY: &[&str] = &["psi", "°F", "lb", "US", "in", "ft", "mph", "lbf·ft"];
    const METRIC: &[&str] = &["°C", "K", "kPa", "bar", "MPa", "kg", "L", "m", "mm", "km/h", "N·m", "kg/L"];
    let words: Vec<&str> = said.split(' ').collect();
    words.windows(2).enumerate().any(|(at, pair)| {
        let unit = pair[1].trim_end_matches([',', ';', ':', ')', '.']);
        let number = pair[0].trim_start_matches('(').ends_with(|c: char| c.is_ascii_digit());
        let is_beside = pair[0].starts_with('(') && (pair[1] == "US" || pair[1].contains(')'));
        let behind_metric = is_beside && at.checked_sub(1).is_some_and(|before| METRIC.contains(&words[before]));
        // Of US gallons the number stands before the country.
        number && CUSTOMARY.contains(&unit) && !behind_metric
    })
}

/// Of a metric record nothing is told in another unit alone, but what the trade itself names in inches: sizes and rims.
#[test]
fn a_metric_record_is_answered_in_metric_units() {
    let (mut told, mut wrong) = (0, Vec::new());
    for folder in ["shared/demo/jobs", "shared/demo/carried"] {
        for path in common::files(folder, ".yaml") {
            let text = common::read(&path);
            let document = Document::read(&path, metric(&text).as_bytes()).unwrap();
            report_at(&document, asked(&text), |_, report| {
                for finding in findings(report) {
                    let places = finding.places().into_iter().map(|place| finding.said_of(&place));
                    for said in places.chain(finding.clears()) {
                        told += usize::from(said.contains(" m") || said.contains("kPa") || said.contains("°C"));
                        // The catalogue's own statements give both; what is not recorded has no unit yet.
                        let aside = [
                            "rim width",
                            "width that the size names",
                            "bead diameter",
                            "not so: ",
                            "is recorded; it needs",
                        ];
                        let aside =
                            aside.iter().any(|words| said.contains(words)) || finding.code().contains("bead-diameter");
                        if is_customary(&said) && !aside {
                            wrong.push(format!("{path}: {}: {said}", finding.code()));
                        }
                    }
                }
            })
            .unwrap_or_else(|| panic!("{path} is not read any more"));
        }
    }
    assert!(wrong.is_empty(), "{}:\n{}", wrong.len(), wrong.join("\n"));
    assert!(told > 100, "{told}");
}

/// Every unit is of the metric system where the customary unit of the other system is not, by the systems to which NIST
/// Special Publication 811 (2008), appendix B.8, assigns them (memory).
#[test]
fn a_unit_and_its_counterpart_are_of_two_systems() {
    let mut pairs = 0;
    for unit in Dimension::ALL.into_iter().flat_map(|dimension| dimension.units().iter().copied()) {
        if unit.counterpart() == unit {
            assert!(unit.is_metric(), "{unit:?}");
        } else {
            assert_ne!(unit.is_metric(), unit.counterpart().is_metric(), "{unit:?}");
            pairs += 1;
        }
    }
    assert!(pairs > 30, "{pairs}");
    assert!(Unit::Bar.is_metric() && !Unit::Psi.is_metric());
}

/// What would clear a finding is said in the words of the shop: no place of a record stands in it as a path.
#[test]
fn no_path_stands_in_what_clears_a_finding() {
    let is_path = |word: &str| {
        let word = word.trim_matches(|letter: char| !letter.is_alphanumeric());
        let parts: Vec<&str> = word.split('.').collect();
        let is_key =
            |part: &&str| part.len() > 1 && part.chars().all(|letter| letter.is_ascii_lowercase() || letter == '_');
        word.contains('_') || parts.len() > 1 && parts.iter().all(is_key)
    };
    assert!(is_path("vent_path.drilled") && is_path("cure.flat,") && !is_path("17.5-25"));
    held(|path, report| {
        let lines =
            findings(report).flat_map(|finding| finding.clears().into_iter().map(|line| (finding.code(), line)));
        let wrong = lines.filter(|(_, line)| {
            // Codes and lines to be written stand between signs of their own.
            let outside: String = line.split('`').step_by(2).collect();
            let units = ["lbf.ft", "lbf.in", "kgf.m"];
            outside.split_whitespace().any(|word| is_path(word) && !units.iter().any(|unit| word.contains(unit)))
        });
        wrong.map(|(code, line)| format!("{path}: {code}: {line}")).collect()
    });
}

/// Where a cure forbids mending, what would clear it offers none.
#[test]
fn what_a_cure_forbids_is_not_offered() {
    held(|path, report| {
        let forbids =
            |finding: &&Explained<'_>| finding.steps().iter().any(|step| step.text.contains("Do not straighten, weld"));
        let lines = findings(report)
            .filter(forbids)
            .flat_map(|finding| finding.clears().into_iter().map(|line| (finding.code(), line)));
        let wrong = lines.filter(|(code, line)| code.contains("wheel-") && line.contains("put right as described"));
        wrong.map(|(code, line)| format!("{path}: {code}: {line}")).collect()
    });
}
