//! Acceptance tests: what is predicted, against published figures, made truths and the trade.

// Helpers of tests may stop them.
#![allow(clippy::unwrap_used, clippy::panic, clippy::print_stdout)]

#[path = "../measure/bands.rs"]
#[allow(dead_code)]
mod bands;
mod bench;
mod book;
#[path = "../measure/carry.rs"]
#[allow(dead_code)]
mod carry;
mod colouring_out;
mod conditions;
mod laws;
mod learning;
#[path = "../measure/left_out.rs"]
mod left_out;
mod mixes;
mod next;
mod routes;
mod trade;
mod transfer;
#[path = "../measure/truths.rs"]
mod truths;
