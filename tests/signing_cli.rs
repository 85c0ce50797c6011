//! Keys, trust, signing, permits and verification as people meet them: the program run in a folder of its own, files in,
//! files, words and exit codes out.

mod answers;
mod countersign;
mod ends;
mod folders;
mod json;
mod keys;
mod other_files;
mod page;
mod permit;
mod planted;
mod readme;
mod records;
mod settings;
mod shop_file;
mod shops;
mod show;
mod sign;
mod store;
mod told;
mod trust;
mod verify;
mod withdrawn;
