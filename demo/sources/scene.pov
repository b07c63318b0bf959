// The window table of an invented case, seen from a young child's seat.
//   Declare=View=1  ahead over the table       Declare=View=2  turned 50 degrees to the right
//   Declare=After=0 as the family lived in it  Declare=After=1 rearranged for the task
#version 3.7;
#ifndef (View) #declare View = 1; #end
#ifndef (After) #declare After = 0; #end
#ifndef (Fine) #declare Fine = 1; #end

global_settings {
  assumed_gamma 1.0
  max_trace_level 6
  radiosity {
    pretrace_start 0.08
    pretrace_end (Fine ? 0.012 : 0.03)
    count (Fine ? 120 : 50)
    nearest_count (Fine ? 9 : 5)
    error_bound (Fine ? 0.4 : 0.7)
    recursion_limit 2
    low_error_factor 0.6
    gray_threshold 0.1
    minimum_reuse 0.006
    brightness 1.0
    normal off
  }
}

camera {
  location 0
  right x*4/3 up y direction z
  angle 72
  #if (View = 1) rotate <8, -2, 0> #else rotate <13, 50, 0> #end
  translate <0, 0.95, 0>
}

#include "materials.inc"
#include "things.inc"
#include "room.inc"
#include "furnish.inc"
#if (After) #include "after.inc" #else #include "before.inc" #end
