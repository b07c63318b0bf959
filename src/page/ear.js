// Gathers a tenth of a second of the microphone and hands it on; it changes nothing.
"use strict";
class Ear extends AudioWorkletProcessor {
  constructor() {
    super();
    this.block = new Float32Array(Math.round(sampleRate / 10));
    this.filled = 0;
  }
  process(inputs) {
    const samples = inputs[0][0];
    for (let from = 0; samples && from < samples.length;) {
      const count = Math.min(samples.length - from, this.block.length - this.filled);
      this.block.set(samples.subarray(from, from + count), this.filled);
      from += count;
      this.filled += count;
      if (this.filled === this.block.length) {
        this.port.postMessage(this.block.slice());
        this.filled = 0;
      }
    }
    return true;
  }
}
registerProcessor("ear", Ear);
