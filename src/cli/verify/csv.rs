//! Verified files as comma-separated values (RFC 4180): a header, a line a file, lists with semicolons.

use std::path::PathBuf;

use fillward::checklist::trust::Trust;
use fillward::vocabulary::shown;

use super::super::failure::Failure;
use super::cells::{COLUMNS, cells, not_verified};
use super::overview::{Overview, SeenOnce};

/// Signs with which a spreadsheet begins a formula, and the full-width ones that some take for them: a text of a file must
/// not become one.
const FORMULA: [char; 8] = ['=', '+', '-', '@', '\u{ff1d}', '\u{ff0b}', '\u{ff0d}', '\u{ff20}'];

/// All files, each with the trust file that it was held against: a line may be read by itself.
pub(super) fn csv(seen: &SeenOnce, trust: &Trust) -> String {
    let owners: Vec<String> = trust.signers().map(|(name, words)| format!("{name} ({words})")).collect();
    let whose =
        [trust.shop().to_owned(), trust.version().to_string(), owners.join("; ")].map(|text| field(&text)).join(",");
    let overview = Overview::of(&seen.rows);
    let originals = overview.originals();
    let rows = seen.rows.iter().enumerate().map(|(place, row)| {
        let copy = originals.get(&place).map(|of| of.display().to_string());
        cells(row).into_iter().chain([copy.into_iter().collect()]).collect()
    });
    lines(rows, &whose)
}

/// The same where nothing could be verified, and why: of each file it is said that it is not.
pub(super) fn unanswered(files: &[PathBuf], failure: &Failure) -> String {
    let whose = ["", "", ""].map(field).join(",");
    let rows = files.iter().map(|path| not_verified(path, failure).into_iter().chain([Vec::new()]).collect());
    lines(rows, &whose)
}

fn lines(rows: impl Iterator<Item = Vec<Vec<String>>>, whose: &str) -> String {
    let heads: Vec<&str> = std::iter::once("file").chain(COLUMNS.iter().map(|column| column.name)).collect();
    let heads = heads.join(",") + ",copy,shop,trust_version,trust_signed_by";
    let lines = rows.map(|cells| {
        let fields: Vec<String> = cells.into_iter().map(|cell| field(&cell.join("; "))).collect();
        fields.join(",") + "," + whose
    });
    std::iter::once(heads).chain(lines).map(|line| line + "\r\n").collect()
}

/// A field in quotation marks; one that would be taken for a formula stands behind an apostrophe.
fn field(text: &str) -> String {
    let text = shown(text);
    let apart = if text.starts_with(FORMULA) { "'" } else { "" };
    format!("\"{apart}{}\"", text.replace('"', "\"\""))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_field_is_text_whatever_it_says() {
        assert_eq!(field("a \"b\", c"), "\"a \"\"b\"\", c\"");
        for sign in ["=", "+", "-", "@", "\u{ff1d}", "\u{ff0b}", "\u{ff0d}", "\u{ff20}"] {
            assert_eq!(field(&format!("{sign}1+1")), format!("\"'{sign}1+1\""));
        }
        assert_eq!(field("HT\n1"), "\"HT\\u{a}1\"");
    }
}
