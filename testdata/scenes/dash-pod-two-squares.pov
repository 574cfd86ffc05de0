// The boat's dash pod with two squares on its face, 157 mm apart and turned
// against each other.
#include "photo.inc"
#declare About = "invented: a boat's dash pod in blue-grey plastic, two holes, two squares, tilted 7 degrees";
#declare Seed = 110;
#declare Focal_35 = 27.7;
#include "panel.inc"

Camera(<70, 34, 0>, 455, 7, 160, -2)
Lamp(100, 55, 150, <1, 0.98, 0.95>*0.82)
Room_light(300, <0.95, 0.98, 1>*0.17)

Plastic(<0.22, 0.26, 0.31>, 0.3, 0)
Outline(array[8] {<-66, -40>, <-44, -66>, <190, -66>, <214, -40>, <210, 122>, <180, 152>, <-44, 146>, <-68, 110>}, 10, 6)
Grille(<78, 70>, 52.0, 0, 0)
Mounting_hole(<43.9, 90.2>, 4.3)
Mounting_hole(<109.2, 44.6>, 4.3)

Stray_hole(<-36, 110>, 7)
Stray_hole(<190, 100>, 3.2)
Slot(<96, -50>, 16, 5, 0)
Slot(<20, 128>, 16, 5, 0)
Post(<140, 128>, 5, 5)
Post(<78, 2>, 4.3, 4)
Rib(<62, -36>, <92, -36>, 1.6, 5)
Panel()

Mesh(<78, 70>, 54, 1.2, 2.2, 1.5, 12, <0.05, 0.05, 0.05>)
Cloth(<78, 70>, 54, 4, <0.015, 0.015, 0.015>)
Square(10, 60, 60, <0, 0>, 0)
Square(11, 60, 60, <156.4, 12.8>, 23)
Bench(12, Mat(<0.42, 0.40, 0.36>))
Write_truth()
