//! Every bound on an input document, each with its reason.
//!
//! The bounds are far above what a job record or a rule pack needs and far below what could exhaust the
//! machine, so that a refusal always means that the file is not what its user believes it to be. Must not know what a
//! document says.

/// Bytes in a document. A full job record is about 10 kB, a file of a pack at most about 50 kB; at 1 MiB both readers
/// still answer in well under a second.
pub const MAX_BYTES: usize = 1024 * 1024;

/// Lists and mappings open inside one another. Records use about ten, packs fifteen; the readers and the tree
/// walks recurse once per level, and 32 levels fit in any thread's stack many times over.
pub const MAX_DEPTH: usize = 32;

/// Keys and values in a document. The longest pack has some thousands; the bound keeps a file of nothing but
/// commas from growing into a tree a hundred times its size.
pub const MAX_NODES: usize = 50_000;

/// Bytes in one text. The longest honest text is a paragraph of remarks.
pub const MAX_TEXT_BYTES: usize = 16 * 1024;

/// Bytes in one key. Keys are words; a longer one is a value with a misplaced colon.
pub const MAX_KEY_BYTES: usize = 128;

/// Bytes in one number as written. No gauge, scale or clock gives more digits, and exact arithmetic on
/// the digits stays cheap.
pub const MAX_NUMBER_BYTES: usize = 40;

/// Magnitude of a decimal exponent. Exact arithmetic writes the power of ten out in full, so that an
/// unbounded exponent in ten bytes of input would fill the memory.
pub const MAX_EXPONENT: u32 = 30;

/// Faults listed of one document. Nobody reads further before putting the first ones right.
pub const MAX_FAULTS: usize = 100;
