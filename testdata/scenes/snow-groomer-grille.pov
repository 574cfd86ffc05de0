// A snow groomer's door panel in red. The cloth in its grille is green, and as
// bright as the red: the eye sees the rim by its colour alone.
#include "photo.inc"
#declare About = "invented: a snow groomer's door panel in red plastic, three holes, green cloth in the grille as bright as the face, tilted 7 degrees";
#declare Seed = 175;
#declare Photo_width = 2592;
#declare Photo_height = 1944;
#declare Focal_35 = 26.7;
#declare Antialias = 0.02;
#declare Sharpening = 0.4;
#declare Quality = 84;
#include "panel.inc"
#include "wear.inc"

Camera(<44, 22, 0>, 270, 7, 200, -3)
Lamp(70, 66, 220, <1.0, 0.97, 0.92>*0.62)
Sky_light(<0.95, 0.98, 1.0>*0.40)

Plastic(<0.40, 0.060, 0.045>, 0.25, 0.02)
#declare Sheet = 2.2;
Outline(array[6] {<-66, -60>, <150, -64>, <164, 10>, <150, 104>, <-48, 110>, <-68, 50>}, 18, 6)
Grille(<84, 30>, 48, 0, 0)
Mounting_hole(<84.4, 66.3>, 4.4)
Mounting_hole(<115.2, 11.8>, 4.4)
Mounting_hole(<52.9, 12.1>, 4.4)
Rib(<132, -40>, <132, 80>, 1.5, 5)
Rib(<-40, 66>, <44, 70>, 1.5, 5)
Stray_hole(<146, 84>, 6)
Stray_hole(<-48, -50>, 3.4)
Slot(<70, -48>, 16, 5, 0)
Post(<20, 90>, 5, 6)
Panel()

Cloth(<84, 30>, 50, Sheet + 0.1, <0.085, 0.31, 0.16>)
Square(42, 60, 60, <0, 0>, 0)
Bench(14, Mat(<0.30, 0.30, 0.29>))
Write_truth()
