//! Placeholders, texts that stand where a name belongs and name nothing: what people write where they know nothing,
//! what points elsewhere, what says a part that somebody plays and not who does, what is typed to fill a field.
//!
//! Whole texts are compared, or every word of one: a name that contains such a word is a name. Words that are
//! somebody's name somewhere, such as `Ng`, `No`, `He` or `Guy`, stand alone in no list. The lists are from memory of
//! forms in several languages. This module must not know characters that are unseen or look alike; `names` looks at
//! those.

use super::words::{NameWords, WordSet, word_set};

/// Bytes beyond which a text is taken to say something: as long as the longest of these with a few words around it.
pub(super) const LONGEST: usize = 64;

/// Words that say that something is not known, given or decided, in small letters without accents.
static UNKNOWN: WordSet = word_set!(
    "alguem alguien anon anonimo anonym anonyme anonymous anybody anyone anything anywhere asdf asdfg asdfgh \
         aucun aucune bilinmiyor brak desconhecido desconocida desconocido dito ditto ebenso entfallt everybody \
         everyone everywhere geen ibid idem iemand ignoto illegible illisible inconnu inconnue ingen inget jemand \
         kein keine keiner leeg leer missing myself na nadie neant nenhum nessuno neznamy nichts niemand nieznana \
         nieznany nikdo nikt nil ninguem ninguna ninguno nobody noname none noone notapplicable notavailable \
         notgiven nothing notknown notrecorded nowhere null nvt offen okand okant onbekend pendente pendiente \
         pending placeholder qualcuno quelquun qwert qwerty qwertz rien saknas sconosciuto seeabove seebelow \
         somebody someone something somewhere tba tbc tbd tobeannounced tobeconfirmed tobedecided tobedone todo \
         tofollow ukendt ukjent unbekannt undecided undefined undetermined unidentified unknown unlabelled \
         unleserlich unmarked unnamed unnumbered unreadable unspecified whatever wherever whichever whoever yok"
);

/// Words for a part that somebody plays, which say as little with a number behind them.
static PARTS: WordSet = word_set!(
    "apprentice assistant bystander colleague contractor coworker crew customer employee helper inspector \
         manager mechanic operator owner staff subcontractor supervisor team tech technician temp trainee visitor \
         worker workmate"
);

/// Words for a person that are names as well: they say nothing with one of [`LEADING`] in front of them.
static PERSONS: WordSet = word_set!(
    "bloke boss boy chap chief driver fella fellow fitter foreman girl guy guys hire joiner kid lad \
         lads lady man men newcomer one other others people person recruit starter woman"
);

/// Small words beside [`PARTS`].
static ON_DUTY: WordSet = word_set!("a and duty for no nr number of on or shift today");

/// Words that lead to what they do not say themselves.
static LEADING: WordSet =
    word_set!("another any her his my new old other our same some that the this usual young your");

/// Words that point elsewhere, where nothing but [`LEADING`] and [`PLACES`] follows.
static POINTING: WordSet = word_set!("as ask check like look read refer same see siehe vedi ver vide voir wie zie");

/// What is pointed to, and the small words around all of these.
static PLACES: WordSet = word_set!(
    "above again always arriba at attached bag be before below board bottle boven box can card certificate ci \
         cidessus container decided dessous dessus docket drum etichetta etiket etikett etiqueta etiquette file \
         for from given in invoice is it job label last later line list lot name no not note notes now nr number \
         oben on order other page paper papers per photo picture plate previous record sheet side so sopra \
         sticker supplied tag tank ticket time to today tomorrow tyre unten usual wheel with yard yesterday yet \
         you"
);

/// Whole texts, without blanks and marks, in small letters without accents.
static WHOLE: WordSet = word_set!(
    "aabb abcd adefinir agencyman agencyworker any apreciser aprecizar asalways asfound asusual batch batchnumber blank bluedrum both \
         dadefinire dayshift dummy empty erikamustermann firstlast firstname firstnamelastname foobar foreman \
         forgot forgotten fredbloggs fullname incognito initials insertname iso isocyanate janedoe janepublic \
         joebloggs joepublic johndoe johnqpublic keineangabe keineangaben labeltorn lastname later leftempty \
         leiharbeiter lorem loremipsum lot lotno lotnumber maxmustermann me mickeymouse mr mrs mrx name namehere \
         namesurname naoaplicavel nichtangegeben nichtbekannt niedotyczy nightshift nn noaplica noconocido noidea \
         nolabel nolot nomark nonapplicable nonconnu nonnoto nonumber notlegible notsure notyet ntb nullandvoid \
         ok okay onthedrum polyol porconfirmar pordefinir sameplace sansnom sansobjet seeorder self seovan serialnumber shift \
         signature signed sinnombre sinnumero surname test testing testtest testuser thesame theusual tocome us usual usualplace various void whoisfree \
         wirdnachgereicht yes yourname αγνωστο αγνωστος κανεις нд невідомо неизвестен неизвестно неизвестный \
         нетданных неуказано никто отсутствует смвыше тоже לאידוע غيرمعروف لايوجد مجهول अजञात ไมทราบ なし 不明 不詳 \
         不详 匿名 同上 名無し 待定 无 未定 未知 未記入 某人 沒有 没有 無 無し 모름 무명 미상 미정 상동 없음"
);

/// The words of a form for the parts of a name.
static FORMS: WordSet = word_set!(
    "achternaam and apellido apellidos christian cognome efternamn etternavn family first forename \
         fornamn fornavn full given imie last middle naam nachname name nazwisko nom nombre nome prenom \
         sobrenome surname und voornaam vorname y"
);

/// Words that say with a denial in front of them that nobody knows.
static KNOWN: WordSet = word_set!(
    "angegeben angivet bekannt bekend conhecido connu conocido given kand kendt kjent known noto opgegeven recorded \
         specified stated znany"
);

/// Words that deny.
const DENIALS: &[&str] =
    &["ej", "geen", "icke", "ikke", "inte", "nao", "nicht", "nie", "niet", "no", "non", "not", "pas"];

/// Whether a text says nothing by its words, in small letters without accents and marks.
pub(super) fn is_nothing(plain: &NameWords) -> bool {
    if is_other_person(plain) {
        return true;
    }
    let numeral = |word: &str| word.chars().all(char::is_numeric);
    let filling = |word: &str| LEADING.contains(word) || PLACES.contains(word);
    let of_nobody = |word: &str| UNKNOWN.contains(word) || filling(word);
    // `John Doe`; `lot not given`, `to be confirmed today`.
    let core = |start: usize| {
        (start + 1..=plain.len())
            .any(|end| UNKNOWN.contains(plain.joined(start..end)) && plain.iter().skip(end).all(filling))
    };
    let whole = WHOLE.contains(plain.whole())
        || (0..plain.len())
            .take_while(|start| start.checked_sub(1).is_none_or(|before| filling(plain.get(before))))
            .any(core);
    if whole {
        return true;
    }
    // `N/A N/A`, `tbd later`, `name unknown`.
    let unknown = || plain.iter().any(|word| UNKNOWN.contains(word)) && plain.iter().all(of_nobody);
    // `operator`, `the other helper`, `helper 2`.
    let around = |word: &str| LEADING.contains(word) || ON_DUTY.contains(word) || numeral(word);
    let part = || {
        plain.iter().any(|word| PARTS.contains(word))
            && plain.iter().all(|word| PARTS.contains(word) || PERSONS.contains(word) || around(word))
    };
    let (first, last) = (plain.get(0), plain.get(plain.len().saturating_sub(1)));
    // `the new guy`, but not `Guy`, nor `Guy New`.
    let person = || {
        plain.len() > 1
            && PERSONS.contains(last)
            && plain.iter().take(plain.len() - 1).all(|word| LEADING.contains(word))
    };
    // `see label`, `same as above`, `as usual`.
    let points = || {
        POINTING.contains(first)
            && plain.iter().skip(1).all(|word| filling(word) || POINTING.contains(word) || PERSONS.contains(word))
            && (plain.len() > 1 || first == "same")
    };
    // `Vorname Nachname`, `first and last name`.
    let form = || plain.len() > 1 && plain.iter().all(|word| FORMS.contains(word));
    // `Ej känd`, `not given`.
    let denied = || plain.len() == 2 && DENIALS.contains(&first) && KNOWN.contains(last);
    unknown() || part() || person() || points() || form() || denied()
}

/// Whether a word is for a part that somebody plays.
pub(super) fn is_part(word: &str) -> bool {
    PARTS.contains(word)
}

/// Whether a word says that something is not known.
pub(super) fn is_unknown(word: &str) -> bool {
    UNKNOWN.contains(word)
}

/// Whether a word sends the reader elsewhere instead of saying it.
pub(super) fn points(word: &str) -> bool {
    POINTING.contains(word)
}

/// The one that forms call another: `A. N. Other`.
fn is_other_person(plain: &NameWords) -> bool {
    let three = plain.len() == 3 && plain.get(0) == "a" && plain.get(1) == "n";
    let two = plain.len() == 2 && plain.get(0) == "an";
    (three || two) && plain.get(plain.len() - 1) == "other"
}

/// Whether a text is an abbreviation for not knowing, by its letters and the marks between them: `k.A.`, `s/o`, `н/д`. In
/// capitals with points it may be somebody's initials.
pub(super) fn is_abbreviation(text: &str) -> bool {
    let pointed = text.contains('.');
    let slashed = !pointed && text.contains(['/', '\\']);
    if !pointed && !slashed {
        return false;
    }
    let letters = || text.chars().filter(|c| c.is_alphabetic());
    let alone = text.chars().all(|c| c.is_alphabetic() || matches!(c, '.' | '/' | '\\' | ' '));
    let small = pointed && letters().next().is_some_and(char::is_lowercase);
    alone && (slashed || small) && {
        let bare: String = letters().flat_map(char::to_lowercase).collect();
        matches!(
            bare.as_str(),
            "ka" | "so" | "sn" | "nd" | "nb" | "nk" | "nr" | "na" | "nc" | "nv" | "nvt" | "jw" | "uk" | "unk" | "нд"
        )
    }
}

/// What says nothing as a whole, for the person who compares by the look of letters.
pub(super) fn whole() -> impl Iterator<Item = &'static str> {
    [&UNKNOWN, &PARTS, &WHOLE].into_iter().flat_map(WordSet::iter)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_stand_in_order_as_they_are_compared() {
        for words in [&UNKNOWN, &PARTS, &PERSONS, &ON_DUTY, &LEADING, &POINTING, &PLACES, &WHOLE, &FORMS, &KNOWN] {
            assert!(words.is_in_order(), "{:?}", words.iter().collect::<Vec<_>>());
        }
    }
}
