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

pub(super) fn duplicate_key(key: &str, span: Span, before: Span) -> Fault {
    Fault::new(Code::DocumentDuplicateKey, format!("the key `{key}` appears twice"))
        .label(span, "again here")
        .label(before, "before that here")
        .help("keep the one that is right and delete the other")
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
