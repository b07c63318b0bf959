//! Two pieces of work at the same time, or one after the other where there are no threads.

/// Runs both; `beside` on a second thread where the machine gives one (a browser does not).
pub(super) fn both<A: Send, B>(beside: impl Fn() -> A + Sync, here: impl FnOnce() -> B) -> (A, B) {
    std::thread::scope(|scope| {
        let spawned = std::thread::Builder::new().spawn_scoped(scope, &beside);
        let second = here();
        let first = match spawned {
            Ok(handle) => handle.join().unwrap_or_else(|payload| std::panic::resume_unwind(payload)),
            Err(_) => beside(),
        };
        (first, second)
    })
}

#[cfg(test)]
mod tests {
    use super::both;

    #[test]
    fn both_results_come_back() {
        assert_eq!(both(|| 2 + 3, || "here"), (5, "here"));
    }
}
