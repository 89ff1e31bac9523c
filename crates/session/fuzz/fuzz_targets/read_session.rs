//! Any bytes at all: what holds is written down once, for this target and for the property tests.
#![no_main]

#[path = "../../tests/shared/invariants.rs"]
mod invariants;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| invariants::open(bytes));
