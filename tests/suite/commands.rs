//! Outside checks: commands.
