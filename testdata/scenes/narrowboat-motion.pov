// The narrowboat's panel in a dim cabin: a long exposure and an unsteady hand.
#include "photo.inc"
#declare About = "invented: a narrowboat's cabin panel in cream plastic, four holes, blurred by the hand's motion, grainy, tilted 5 degrees";
#declare Seed = 161;
#declare Photo_width = 2048;
#declare Photo_height = 1536;
#declare Focal_35 = 34.9;
#declare Tint = <1.06, 1, 0.84>;
#declare Motion = 4.5;
#declare Motion_turn = 28;
#declare Full_well = 700;
#declare Read_noise = 8;
#declare Antialias = 0.02;
#declare Sharpening = 0.9;
#declare Quality = 80;
#include "panel.inc"
#include "wear.inc"

Camera(<12, -30, 0>, 285, 5, 190, 86)
Lamp(250, 56, 60, <1.0, 0.86, 0.64>*0.80)
Room_light(80, <1.0, 0.90, 0.74>*0.20)

Plastic(<0.50, 0.46, 0.37>, 0.35, 0)
Dusty(<0.34, 0.30, 0.25>, 0.2, 80)
Outline(array[5] {<-64, -124>, <86, -124>, <98, -30>, <86, 64>, <-60, 64>}, 12, 5)
Grille(<10, -82>, 34, 0, 0)
Mounting_hole(<-20.3, -66.8>, 3.5)
Mounting_hole(<40.2, -67.2>, 3.5)
Mounting_hole(<-20.1, -97.4>, 3.5)
Mounting_hole(<40.4, -97.1>, 3.5)
Rib(<52, 50>, <52, -20>, 1.5, 5)
Stray_hole(<70, -58>, 6)
Stray_hole(<-50, -52>, 2.4)
Slot(<70, 10>, 15, 5, 90)
Post(<10, -112>, 4, 4)
Post(<76, -100>, 6, 5)
Panel()

Mesh(<10, -82>, 36, 1.2, 1.8, 1.1, 12, <0.08, 0.08, 0.08>)
Cloth(<10, -82>, 36, 4, <0.02, 0.02, 0.02>)
Square(29, 60, 60, <0, 0>, 0)
Bench(14, Boards(<0.36, 0.22, 0.12>, 82))
Write_truth()
