//! What YAML can do and an input document must not, each with its words and its cure.
//!
//! Must not know how such things are found.

use super::limits::{MAX_DEPTH, MAX_KEY_BYTES, MAX_NODES, MAX_NUMBER_BYTES, MAX_TEXT_BYTES};
use super::scalar::OutOfRange;
use super::{Code, Fault, Source, Span};

pub(super) fn alias(source: &Source, span: Span) -> Fault {
    let message = format!("`{}` stands for a value written elsewhere", source.slice(span));
    Fault::new(Code::DocumentAlias, message)
        .label(span, "alias")
        .help("write the value out here, so that each line can be read on its own")
}

pub(super) fn anchor(span: Span) -> Fault {
    Fault::new(Code::DocumentAnchor, "a value is named here to be used elsewhere")
        .label(span, "anchor")
        .help("delete the name behind `&` and write the value out wherever it is needed")
}

pub(super) fn tag(span: Span) -> Fault {
    Fault::new(Code::DocumentTag, "a tag says how the value is to be taken")
        .label(span, "tag")
        .help("delete the tag; put quotes round the value if it is text")
}

pub(super) fn merge_key(span: Span) -> Fault {
    Fault::new(Code::DocumentMergeKey, "`<<` brings in keys written elsewhere")
        .label(span, "merge key")
        .help("write the keys out here, so that each line can be read on its own")
}

pub(super) fn directive(source: &Source, span: Span) -> Fault {
    let message = format!("`{}` changes how the rest is read", source.slice(span));
    Fault::new(Code::DocumentDirective, message).label(span, "directive").help("delete this line")
}

pub(super) fn several_documents(span: Span) -> Fault {
    Fault::new(Code::DocumentSeveralDocuments, "a second document begins here")
        .label(span, "begins here")
        .help("put each document in a file of its own")
}

pub(super) fn empty(source: &Source) -> Fault {
    Fault::new(Code::DocumentEmpty, "the file is empty")
        .label(Span::empty(source.text().len()), "the document ends here")
        .help("check that this is the file you meant")
}

pub(super) fn too_deep(span: Span) -> Fault {
    let message = format!("more than {MAX_DEPTH} lists and mappings inside one another");
    Fault::new(Code::DocumentTooDeep, message)
        .label(span, "one level too deep")
        .help("look for brackets that are never closed, or indentation that keeps growing")
}

pub(super) fn too_many_values(span: Span) -> Fault {
    let message = format!("more than {MAX_NODES} keys and values");
    Fault::new(Code::DocumentTooManyValues, message)
        .label(span, "the first one too many")
        .help("check that this is the file you meant; a record or a pack has far fewer")
}

pub(super) fn too_long(text: &str, span: Span) -> Fault {
    let message = format!("a text of {} bytes; at most {MAX_TEXT_BYTES} are read", text.len());
    Fault::new(Code::DocumentTooLong, message)
        .label(span, "too long")
        .help("shorten the text, or keep it in a file beside the record")
}

pub(super) fn not_finite(word: &str, span: Span) -> Fault {
    let message = format!("`{word}` is no number that can be measured");
    Fault::new(Code::DocumentNotFinite, message)
        .label(span, "not a finite number")
        .help("write the number that was read, or put quotes round the word if it is text")
}

/// Both readers take such a number, but a person may not, and readers of older YAML do not.
pub(super) fn not_decimal(word: &str, span: Span) -> Fault {
    let message = format!("`{word}` is read as a number, but not as a decimal one");
    Fault::new(Code::DocumentNotDecimal, message)
        .label(span, "not decimal")
        .help(format!("quote it: `\"{word}\"`, or write the number in decimal digits"))
}

pub(super) fn out_of_range(word: &str, why: OutOfRange, span: Span) -> Fault {
    let message = match why {
        OutOfRange::TooManyDigits => {
            format!("a number of {} characters; at most {MAX_NUMBER_BYTES} are read", word.len())
        }
        OutOfRange::TooLarge => format!("`{word}` is too large to be kept exactly by every reader"),
        OutOfRange::Exponent => format!("`{word}` is far outside anything that is measured"),
    };
    Fault::new(Code::DocumentNumberOutOfRange, message)
        .label(span, "out of range")
        .help("put quotes round it if it is a serial number or other text, else check the digits")
}

/// A key that stands twice; `holds_more` where the first has lines of its own below it.
pub(super) fn duplicate_key(key: &str, span: Span, before: Span, holds_more: bool) -> Fault {
    Fault::new(Code::DocumentDuplicateKey, format!("the key `{key}` appears twice"))
        .label(span, "again here")
        .label(before, "before that here")
        .help(if holds_more {
            "move what stands under the second one to the first, and take the empty heading out"
        } else {
            "keep the one that is right and delete the other"
        })
}

/// A key with its value right behind its colon.
pub(super) fn no_blank(name: &str, value: &str, span: Span) -> Fault {
    Fault::new(Code::DocumentNotYaml, format!("there is no space behind the colon of `{name}`"))
        .label(span, "no space here")
        .help(format!("write `{name}: {value}`"))
}

/// A comma inside a value in braces or brackets: `written` is the whole as it was meant, if that is clear, and `word`
/// what stands behind the comma.
pub(super) fn comma_in_value(word: &str, written: Option<&str>, span: Span) -> Fault {
    let help = match written {
        Some(whole) if is_number(whole) => match without_comma(whole).as_slice() {
            [one] => format!("write `{one}`, with a point"),
            [point, thousands @ ..] => {
                let others: Vec<String> = thousands.iter().map(|text| format!("`{text}`")).collect();
                format!(
                    "write `{point}` if the comma stood for a point, or {} if it parted thousands",
                    others.join(" or ")
                )
            }
            [] => "write the number with a point".to_owned(),
        },
        Some(whole) => format!(
            "put quotes round it if it is one text: `\"{whole}\"`; if `{word}` is a key of its own, write a colon and its value behind it"
        ),
        None => {
            format!("write a colon and a value behind `{word}`; words without values stand in brackets, `[{word}]`")
        }
    };
    Fault::new(
        Code::DocumentCommaInValue,
        format!("the comma ends the value before it, and `{word}` says nothing by itself"),
    )
    .label(span, "behind a comma")
    .help(help)
}

fn is_number(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_digit() || c == '-')
        && text.split(',').skip(1).all(|part| part.trim_start().starts_with(|c: char| c.is_ascii_digit()))
}

/// A number with a comma in it as it may have been meant: with a point, and, where three figures stand behind each comma,
/// without it.
fn without_comma(text: &str) -> Vec<String> {
    let parts: Vec<&str> = text.split(',').map(str::trim_start).collect();
    let figures = |part: &str| part.bytes().take_while(u8::is_ascii_digit).count();
    let grouped = parts.iter().skip(1).all(|part| figures(part) == 3);
    let point = (parts.len() == 2).then(|| parts.join("."));
    point.into_iter().chain(grouped.then(|| parts.concat())).collect()
}

pub(super) fn odd_key(key: &str, span: Span) -> Fault {
    let message = format!("a key of {} bytes; a key is one line of at most {MAX_KEY_BYTES}", key.len());
    Fault::new(Code::DocumentOddKey, message)
        .label(span, "this key")
        .help("look for a `:` that belongs to the value, and put quotes round the value")
}

/// A key that is a number, a truth value or nothing, or that is a list or mapping.
pub(super) fn key_not_text(source: &Source, span: Span, is_scalar: bool) -> Fault {
    let written = source.slice(span);
    let fault = if is_scalar && !written.is_empty() {
        Fault::new(Code::DocumentKeyNotText, format!("the key `{written}` is not read as text"))
            .help(format!("quote it: `\"{written}\"`"))
    } else {
        Fault::new(Code::DocumentKeyNotText, "a key must be a text").help("write a word before the `:`")
    };
    fault.label(span, "this key")
}
