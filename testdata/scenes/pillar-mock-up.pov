// The pillar trim of the invented tractor cab, nearly black, with a tweeter of
// bright metal that lies on the face and covers the opening: no grille shows.
#include "photo.inc"
#declare About = "invented: a tractor cab's pillar trim in near-black plastic, two holes, a tweeter of bright metal over the opening, tilted 9 degrees";
#declare Args = "\"--tweeter-diameter\",\"52.0\",\"--tweeter-height\",\"3\"";
#declare Seed = 132;
#declare Photo_width = 3264;
#declare Photo_height = 2448;
#declare Focal_35 = 26.4;
#declare Exposure = 1.1;
#include "panel.inc"
#include "shapes.inc"

Camera(<14, 46, 0>, 410, 9, 330, 2.5)
Lamp(200, 46, 60, <1, 0.98, 0.94>*0.80)
Room_light(320, <0.95, 0.98, 1>*0.15)

Plastic(<0.06, 0.061, 0.063>, 0.4, 0)
Outline(array[6] {<-58, -90>, <70, -98>, <96, 20>, <92, 170>, <-2, 190>, <-50, 60>}, 18, 9)
Cut(cylinder { <30, 86, Face - 30>, <30, 86, Face + 0.5>, 24 }, Face, Sheet)
Mounting_hole(<-8.6, 104.7>, 5.0)
Mounting_hole(<69.2, 68.3>, 5.0)

Window(<-30, -66>, 16, 6, 4)
Window(<44, -70>, 16, 6, -4)
Stray_hole(<58, 14>, 8)
Post(<46, 156>, 6, 8)
Rib(<-20, 47>, <70, 40>, 1.5, 5)
Rib(<52, -50>, <56, -4>, 1.5, 5)
Panel()

Tweeter(<30.7, 85.4>, 52, 3 + Paper, 3, 200, texture { pigment { rgb <0.50, 0.50, 0.52> } finish { ambient 0.08 diffuse 0.55 specular 0.4 roughness 0.04 } })
Putty(<30.7, 85.4>, 52, Face + 3, 45, 4, <0.08, 0.10, 0.30>)
Putty(<30.7, 85.4>, 52, Face + 3, 170, 4.4, <0.08, 0.10, 0.30>)
Putty(<30.7, 85.4>, 52, Face + 3, 300, 3.8, <0.08, 0.10, 0.30>)
Square(2, 60, 60, <0, 0>, 0)
Bench(16, Mat(<0.10, 0.17, 0.15>))
Write_truth()
