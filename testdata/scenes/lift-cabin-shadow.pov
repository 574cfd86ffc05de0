// The lift cabin's panel in the sun: the edge of a board's shadow runs across
// the square and the grille: half of each is in the sun, half is not.
#include "photo.inc"
#declare About = "invented: a lift cabin's ceiling panel in light grey plastic, four holes, a 77 mm grille, the square half in hard shadow, tilted 6 degrees";
#declare Seed = 171;
#declare Photo_width = 3264;
#declare Photo_height = 2448;
#declare Focal_35 = 26.1;
#declare Antialias = 0.02;
#declare Exposure = 0.92;
#declare Sharpening = 0.5;
#declare Quality = 95;
#include "panel.inc"
#include "wear.inc"

Camera(<56, 14, 0>, 300, 6, 250, 5)
Lamp(130, 50, 11, <1.0, 0.96, 0.88>*1.05)   // as wide as the sun is, half a degree
Sky_light(<0.80, 0.90, 1.0>*0.26)
Shade_board(<400, 276, 140>, <-300, -4, 140>)

Plastic(<0.36, 0.37, 0.38>, 0.3, 0.02)
Dusty(<0.50, 0.48, 0.44>, 0.3, 70)
Outline(array[4] {<-62, -74>, <172, -72>, <170, 104>, <-60, 102>}, 12, 6)
Grille(<96, 30>, 77, 0, 0)
Mounting_hole(<49.6, 76.3>, 5.2)
Mounting_hole(<142.4, 75.9>, 5.2)
Mounting_hole(<142.8, -16.2>, 5.2)
Mounting_hole(<49.3, -16.5>, 5.2)

Rib(<45, -44>, <152, -44>, 1.5, 5)
Rib(<-48, 62>, <30, 62>, 1.5, 5)
Stray_hole(<158, 30>, 3.2)
Stray_hole(<-46, 84>, 7)
Slot(<96, -58>, 18, 5, 0)
Post(<16, 84>, 6, 5)
Panel()

Mesh(<96, 30>, 79, 1.4, 2.4, 1.6, 11, <0.07, 0.07, 0.07>)
Cloth(<96, 30>, 79, 4, <0.02, 0.02, 0.02>)
Square(38, 60, 60, <0, 0>, 0)
Bench(11, Boards(<0.46, 0.33, 0.20>, 118))
Write_truth()
