//! The codes of faults in texts: documents, records, shop files and packs.
//!
//! One entry a code, in the order of their words within each stage. Must not know the codes of another file.

/// Hands the entries to the next file, which adds its own and hands all of them to the macro that declares the codes.
macro_rules! codes_of_texts {
    ($next:ident $then:ident) => {
        $next! { $then
            DocumentAlias = "document/alias":
                "`*name` stands for a value written elsewhere. Write the value out, so that each line can be read on its own.";
            DocumentAnchor = "document/anchor":
                "`&name` marks a value for use elsewhere. Delete the mark and write the value out wherever it is needed.";
            DocumentCommaInValue = "document/comma-in-value":
                "A comma in braces or brackets ends a value, and what stands behind it is no value or key of its own. Write a point in the number, quotes round a text with a comma, or a colon behind a key.";
            DocumentControlCharacter = "document/control-character":
                "The text holds a control character, which nobody can see. Delete it.";
            DocumentDirective = "document/directive":
                "A line that begins with `%` changes how the rest is read. Delete the line.";
            DocumentDuplicateKey = "document/duplicate-key":
                "A mapping has one key twice, and programs differ about which counts. Keep the one that is right.";
            DocumentEmpty = "document/empty":
                "The document has no content. Check that it is the file you meant.";
            DocumentHashInValue = "document/hash-in-value":
                "A `#` behind a space begins a remark, so what stands behind it is not read. Put quotes round the value if it belongs to it, or leave a space behind the sign.";
            DocumentHiddenCharacter = "document/hidden-character":
                "The text holds a character that is not seen or that turns the direction of writing. Delete it.";
            DocumentKeyNotText = "document/key-not-text":
                "A key is a number, a truth value, nothing, a list or a mapping. Write the key as a word, or in quotes.";
            DocumentMergeKey = "document/merge-key":
                "`<<` brings in keys written elsewhere. Write the keys out here.";
            DocumentMoreFaults = "document/more-faults":
                "The document has more faults than are shown. Put the shown ones right and read it again.";
            DocumentNotDecimal = "document/not-decimal":
                "A number is hexadecimal, octal or the like, which readers take differently. Write it in decimal digits, or quote it.";
            DocumentNotFinite = "document/not-finite":
                "A number is infinite or not a number. Write the number that was read, or quote the word if it is text.";
            DocumentNotUtf8 = "document/not-utf8":
                "The bytes are not text in UTF-8. Save the file as UTF-8.";
            DocumentNotYaml = "document/not-yaml":
                "The text does not follow the grammar of YAML. Correct the place shown; quotes, colons and indentation are the usual causes.";
            DocumentNumberOutOfRange = "document/number-out-of-range":
                "A number is too long or too large to be kept exactly. Check its digits, or quote it if it is a serial number.";
            DocumentOddKey = "document/odd-key":
                "A key is longer than keys are, or runs over a line. Look for a `:` that belongs to a value, and quote that value.";
            DocumentOddLineBreak = "document/odd-line-break":
                "A line ends in a character that not every program takes for a line break. Save the file with ordinary line breaks.";
            DocumentOtherFile = "document/other-file":
                "The file is of another sort than is expected here, such as a rule pack where a job record is. Give each file in its own place.";
            DocumentReadersDiffer = "document/readers-differ":
                "Two independent readers do not read this text alike. Quote the value, or write it so that it can be read one way only.";
            DocumentSeveralDocuments = "document/several-documents":
                "The file holds a second document behind `---`. Put each document in a file of its own.";
            DocumentTabIndent = "document/tab-indent":
                "A line is indented with a tab, which YAML does not allow. Indent it with spaces.";
            DocumentTag = "document/tag":
                "`!tag` says how a value is to be taken. Delete the tag, and quote the value if it is text.";
            DocumentTooDeep = "document/too-deep":
                "Lists and mappings stand too deep inside one another. Look for a bracket never closed, or indentation that keeps growing.";
            DocumentTooLarge = "document/too-large":
                "The file has more bytes than a document may have. Check that it is the file you meant.";
            DocumentTooLong = "document/too-long":
                "One text is longer than is read. Shorten it, or keep it in a file beside the document.";
            DocumentTooManyValues = "document/too-many-values":
                "The document has more keys and values than are read. Check that it is the file you meant.";

            SchemaDoesNotFit = "schema/does-not-fit":
                "The value breaks the schema at this place. Write it as the schema's description of this key says.";
            SchemaKeyOutOfPlace = "schema/key-out-of-place":
                "The key is known, but not beside the other keys here. Delete it, or change the keys that rule it out.";
            SchemaMissingKey = "schema/missing-key":
                "A key that must stand here is missing. Add it.";
            SchemaNoFormFits = "schema/no-form-fits":
                "The value has none of the forms that can stand here. Write it in one of the forms named.";
            SchemaNotAsDue = "schema/not-as-due":
                "The text is not written as it must be here. Write it as the example shows.";
            SchemaNotInList = "schema/not-in-list":
                "The value is not one of the words that can stand here. Write one of those listed.";
            SchemaOddKey = "schema/odd-key":
                "The key is not spelt as keys are at this place. Spell it as the cure says.";
            SchemaRepeatedItem = "schema/repeated-item":
                "A list holds the same item twice. Delete one of the two.";
            SchemaTooFew = "schema/too-few":
                "A list or mapping has fewer entries than it must. Add what is missing.";
            SchemaTooHigh = "schema/too-high":
                "A number is above what can stand here. Check the number and its unit.";
            SchemaTooLong = "schema/too-long":
                "A text is longer than it may be here. Shorten it.";
            SchemaTooLow = "schema/too-low":
                "A number is below what can stand here. Check the number and its unit.";
            SchemaTooMany = "schema/too-many":
                "A list or mapping has more entries than it may. Delete what is too much.";
            SchemaTooShort = "schema/too-short":
                "A text is shorter than it must be here. Write it out.";
            SchemaUnknownKey = "schema/unknown-key":
                "The key is not known at this place. Correct its spelling, or delete it.";
            SchemaWrongKind = "schema/wrong-kind":
                "The value is of another kind than expected, such as a number for a text. Write a value of the kind named.";

            RecordBrokenProgram = "record/broken-program":
                "The program's own record schema cannot be used. Report this; the program is at fault, not the record.";
            RecordImpossibleValue = "record/impossible-value":
                "The value cannot be, such as a mass of zero or a scale that ends before it begins. Check the figure and its unit.";
            RecordLogInTwoClocks = "record/log-in-two-clocks":
                "Some rows of a log are in universal time and others by the shop's clock, so hours between them may be an error of whoever copied them. Look up which clock each row was read off, and write all of them by one.";
            RecordLogOutOfOrder = "record/log-out-of-order":
                "A row of a log is not later than the one before it. Put the rows in the order of their times.";
            RecordMarkTwice = "record/mark-twice":
                "Two entries of a list have one mark, so nobody can tell them apart. Give each its own mark.";
            RecordMisnamed = "record/misnamed":
                "The text cannot be the name of what it stands for: a lot without a digit, a person who is a sentence, a mark that only says what kind of thing it is, a value that another fact takes, a fault that was found, or another text of the record. Write the name itself and what was found where it belongs, or leave the value empty if it is not known.";
            RecordNameOtherwise = "record/name-otherwise":
                "A person is named otherwise than in the list of people, by letters that print alike or in another case. Write the name as it stands there.";
            RecordNoReading = "record/no-reading":
                "A reading lacks what it reads, or is not a mapping. Write the reading with its number and unit.";
            RecordNoUnit = "record/no-unit":
                "A number has no unit. Write the unit after the number.";
            RecordNotADay = "record/not-a-day":
                "The text is not a calendar day. Write it like `2026-01-31`.";
            RecordNotAQuantity = "record/not-a-quantity":
                "The text is not a number with a unit that measures this. Write a number and one of the units listed.";
            RecordNotASize = "record/not-a-size":
                "The text is not a tyre size, or could be read as two. Write it as the sidewall has it, and as the cure says where two readings are listed.";
            RecordNotAnInstant = "record/not-an-instant":
                "The text is not a date and time with its offset. Write it like `2026-01-31T08:00:00-06:00`.";
            RecordOffsetOfAnotherZone = "record/offset-of-another-zone":
                "A time is written with an offset that the shop's time zone does not have then. Look up which clock was read, and write it by the shop's; only rows of logs may be in universal time.";
            RecordSaysNothing = "record/says-nothing":
                "The text names nothing: a word for not knowing, a part that somebody plays, a guess. Write the name, or leave the value empty if it is not known.";
            RecordUndeclaredFact = "record/undeclared-fact":
                "The record states a local fact that no pack in force declares. Give the pack that declares it, or correct the name.";
            RecordUnknownInstrument = "record/unknown-instrument":
                "A reading names an instrument that the record does not list. Correct the mark, or enter the instrument.";
            RecordUnknownWord = "record/unknown-word":
                "The word is not one of those that this fact can have. Write one of those listed.";
            RecordUnseenCharacter = "record/unseen-character":
                "A name in the record holds a character that is not seen, or a letter of another alphabet, so that another name would look the same. Type it again by hand.";
            RecordWrongKind = "record/wrong-kind":
                "The value is of another kind than the fact. Write a value of the kind named.";
            ShopDoubledHour = "shop/doubled-hour":
                "The clock of the shop shows a time twice, since it was put back that day. Write the one that was meant with its offset.";
            ShopLikeRing = "shop/like-ring":
                "Assemblies are like one another in a ring, so none of them says anything. Write the facts out for one of them.";
            ShopLikeUnknown = "shop/like-unknown":
                "An assembly is like one that the record does not have. Name another assembly of the record by its mark.";
            ShopMarkTwice = "shop/mark-twice":
                "Two entries have one mark on one day, or marks that are taken for one another, or two machine cards are for one machine. Give each its own mark, or its own days, and keep one card.";
            ShopNoDay = "shop/no-day":
                "An entry is in force for a time, and the record does not say its day. Write `day:` at the head of the record.";
            ShopNoMark = "shop/no-mark":
                "An entry of the shop file has no mark, so that no record can name it, or a sheet does not say which of several rounds was walked. Give it one, or take it out.";
            ShopNoName = "shop/no-name":
                "Somebody is named by the mark of an entry of the crew that has no name. Write first and last name behind `name:` in the entry.";
            ShopNotGiven = "shop/not-given":
                "A record names an entry of a shop file, and no shop file is given. Give it with --shop, or write the facts out.";
            ShopNotInForce = "shop/not-in-force":
                "An entry of the shop file is named that is not in force on the day of its use, or that never is. Name the one that is, or put its days right.";
            ShopOtherDay = "shop/other-day":
                "A record says one day, and its start is planned on another. Put the day or the planned start right.";
            ShopOtherMachine = "shop/other-machine":
                "A card of a machine is named for a tyre that goes on another machine or another axle, or beside a card that is more of that tyre. Name the card of that place, or list the machine in the card.";
            ShopOtherPlace = "shop/other-place":
                "A pump or a cage is named that stands at another place of the shop than that of the job. Name the one that the job is done with, or say from which place it was brought.";
            ShopOtherSide = "shop/other-side":
                "A lot is named for the side of the mix that it is not of, or does not say its side. Look at the label of the container, and name it on its own side.";
            ShopSaidTwice = "shop/said-twice":
                "One fact is said in two places otherwise, and the rules do not tell which of the two lets less pass. Look at the thing itself, and correct the one that is wrong; never take out what was found today.";
            ShopSheetTwice = "shop/sheet-twice":
                "Two materials name one data sheet and state it otherwise. Look it up in the sheet, and correct the one that is wrong; two editions have two titles.";
            ShopSkippedHour = "shop/skipped-hour":
                "The clock of the shop never shows a time, since it was put forward that day. Write the time that was shown with its offset.";
            ShopTimeWithoutDay = "shop/time-without-day":
                "A time or a sheet does not say its day. Write the day in front of the time or behind `day:`; in a record of one day `day:` at its head is enough.";
            ShopTwoHeaders = "shop/two-headers":
                "A file says that it is a record and a shop file. Keep what lasts in one file and what is of the job in another one.";
            ShopTwoMaterials = "shop/two-materials":
                "The lots of the two sides are of two materials. Look at the labels; only two sides of one material are mixed.";
            ShopUnknownMark = "shop/unknown-mark":
                "A mark is named that no entry of the shop file has, or that names nothing. Put the mark right, or add the entry.";
            ShopUnknownZone = "shop/unknown-zone":
                "The time zone of the shop file is not one of the IANA database. Write it as Area/Place, such as America/Chicago.";
            ShopWalkedTwice = "shop/walked-twice":
                "One person is said to have walked the rounds of two places within one minute. Write for each when it was begun and by whom; one that nobody walked is walked now.";

            PackAgainstSafer = "pack/against-safer":
                "A limit made stricter would let more pass here. Turn the comparison round, or give it a limit of its own.";
            PackAirUnsaid = "pack/air-unsaid":
                "A rule asks something of a tyre, a rim, a wheel or the cage, and does not say whether the air must be out before its cure begins. Write `air: out`, or `air: {stays: why}` where nothing that is done needs it out.";
            PackAmendsNothing = "pack/amends-nothing":
                "Limits are amended, but the head does not say which pack is amended. Name that pack and its edition in the head.";
            PackAmendsUnknown = "pack/amends-unknown":
                "The amended pack is not in force, or in another edition. Give that pack, or read the amendment again for the edition in force.";
            PackBadExample = "pack/bad-example":
                "An example is not a mapping, has no instant, claims an outcome of the other list, or states a fact of a subject that the rule does not cover outside its list. Write it as the language reference shows.";
            PackBrokenProgram = "pack/broken-program":
                "The program's own pack schema cannot be used. Report this; the program is at fault, not the pack.";
            PackDatesOutOfOrder = "pack/dates-out-of-order":
                "The values of a limit are not in the order of their days. Put the earliest first.";
            PackEmptyCondition = "pack/empty-condition":
                "A condition asks nothing. Write at least one condition.";
            PackExampleDiffers = "pack/example-differs":
                "An example comes out differently from what it says; said by `pack check`, exit code 1. Correct the example, or the rule.";
            PackFactDeclaredTwice = "pack/fact-declared-twice":
                "Two packs declare one fact with different kinds. Give one of the two facts another name.";
            PackFactWithoutKind = "pack/fact-without-kind":
                "A declared choice has no words, or a quantity or reading no unit family. Add what is missing.";
            PackHead = "pack/head":
                "None, or more than one, of the pack's files carries edition and title. Leave them in one file.";
            PackLimitBelowZero = "pack/limit-below-zero":
                "A limit of a quantity that is never below zero is below zero. Write how much it is.";
            PackLimitNeverUsed = "pack/limit-never-used":
                "No rule names the limit and no figure uses it. Delete the limit, or use it.";
            PackLimitTwice = "pack/limit-twice":
                "Two limits in force have one name. Give one of them another name, or amend the first.";
            PackLimitWithoutValue = "pack/limit-without-value":
                "A limit has no value that can be used. Give it a value.";
            PackMissingPart = "pack/missing-part":
                "A part that must stand is missing or is not text. Add it.";
            PackNameTaken = "pack/name-taken":
                "A pack of this name is already in force. Give it once, or give the other another name.";
            PackNestedTooDeep = "pack/nested-too-deep":
                "A rule goes through one list inside another more often than is read, or through a list inside itself, which decides nothing and would take for ever. Take the inner condition out, or make it a rule of its own.";
            PackNotACondition = "pack/not-a-condition":
                "A condition is expected here, and something else is written. Write a condition as the language reference shows.";
            PackNotADay = "pack/not-a-day":
                "A calendar day is expected here, and something else is written. Write it like `2026-01-31`.";
            PackNotAQuantity = "pack/not-a-quantity":
                "A number with a known unit is expected here, and something else is written. Write it like `72 degF`.";
            PackNotAnInstant = "pack/not-an-instant":
                "A date and time with its offset is expected here, and something else is written. Write it like `2026-01-31T08:00:00-06:00`.";
            PackRuleTaken = "pack/rule-taken":
                "A local pack has a rule that is called like one of a pack before it. Rules are never changed or withdrawn: make a limit stricter under `amended_limits`, or add a rule with a name of its own.";
            PackRuleTwice = "pack/rule-twice":
                "The pack has two rules of one name. Give each rule its own name.";
            PackRuleWithoutExamples = "pack/rule-without-examples":
                "A rule lacks an example that is met, or one that is broken. Write both.";
            PackStepNeverUsed = "pack/step-never-used":
                "No cure calls the step. Delete the step, or let a cure call it.";
            PackStepTwice = "pack/step-twice":
                "Two steps have one name. Call one of them otherwise, or let cures call the first.";
            PackTitleTwice = "pack/title-twice":
                "The pack has two rules of one title, and signed files name what was in order by its title. Give each rule its own.";
            PackUnknownFact = "pack/unknown-fact":
                "No fact or figure has this name, or it is not in reach at this place. Correct the name, or declare the fact.";
            PackUnknownLimit = "pack/unknown-limit":
                "No limit of this pack, or of the one it amends, has this name. Correct the name, or declare the limit.";
            PackUnknownOperand = "pack/unknown-operand":
                "An operand has no base, or a part that no operand has. Name a fact, a limit, `start` or `today`, or `judgement` for a plan.";
            PackUnknownStep = "pack/unknown-step":
                "A cure calls a step that no pack names. Write what is to be done, or name the step under `steps:`.";
            PackUnknownSubject = "pack/unknown-subject":
                "A rule or fact is said to cover something that there is not. Name one of the subjects listed.";
            PackUnknownTest = "pack/unknown-test":
                "No test has this name. Write one of the tests that suit the fact.";
            PackUnreachable = "pack/unreachable":
                "A clause decides nothing: it contradicts another, or repeats one, or the rule ends before it begins. Delete or correct it.";
            PackUnsafeDirection = "pack/unsafe-direction":
                "An amendment would make a limit weaker. Amend it towards its safer side only.";
            PackWrongKind = "pack/wrong-kind":
                "A test, value, factor or offset does not suit the kind of fact. Use one that the language reference lists for this kind.";
            PackWrongUnit = "pack/wrong-unit":
                "A number has no unit, or one of another kind than expected. Write a unit of the kind named.";
        }
    };
}

pub(super) use codes_of_texts;
