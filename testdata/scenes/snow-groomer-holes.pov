// The snow groomer's panel in orange, its front covered with blue felt, which shows
// in the holes: it is as bright as the orange, and the eye sees the mouths by their
// colour and a little shade.
#include "photo.inc"
#declare About = "invented: a snow groomer's door panel in orange plastic, three holes in which blue felt shows as bright as the face, tilted 6 degrees";
#declare Seed = 176;
#declare Photo_width = 2592;
#declare Photo_height = 1944;
#declare Focal_35 = 26.7;
#declare Antialias = 0.02;
#declare Sharpening = 0.4;
#declare Quality = 90;
#include "panel.inc"
#include "wear.inc"

Camera(<44, 22, 0>, 270, 6, 330, 4)
Lamp(160, 66, 220, <1.0, 0.97, 0.92>*0.62)
Sky_light(<0.95, 0.98, 1.0>*0.40)

Plastic(<0.45, 0.16, 0.035>, 0.25, 0.02)
#declare Sheet = 1.8;
Outline(array[6] {<-66, -60>, <150, -64>, <164, 10>, <150, 104>, <-48, 110>, <-68, 50>}, 18, 6)
Grille(<84, 30>, 48, 0, 0)
Mounting_hole(<84.4, 66.3>, 5.2)
Mounting_hole(<115.2, 11.8>, 5.2)
Mounting_hole(<52.9, 12.1>, 5.2)
Rib(<132, -40>, <132, 80>, 1.5, 5)
Rib(<-40, 66>, <44, 70>, 1.5, 5)
Stray_hole(<146, 84>, 5)
Stray_hole(<-48, -50>, 3.4)
Slot(<70, -48>, 16, 5, 0)
Post(<20, 90>, 5, 6)
Panel()

Felt(<-56, -56>, <152, 96>, <0.19, 0.31, 0.62>)
Mesh(<84, 30>, 49, 1.2, 2.2, 1.5, 14, <0.06, 0.06, 0.06>)
Cloth(<84, 30>, 50, Sheet - 0.1, <0.02, 0.02, 0.02>)
Square(43, 60, 60, <0, 0>, 0)
Bench(14, Mat(<0.28, 0.28, 0.29>))
Write_truth()
