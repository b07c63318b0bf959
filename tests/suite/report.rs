//! Outside checks: report. The page is read as a reader, a browser and an SVG renderer would read it.

mod charts;
mod example;
mod family;
mod looked_at;
mod page;
mod papers;
mod sheet;
mod spoiled;
